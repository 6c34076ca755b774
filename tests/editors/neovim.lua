-- See neovim.sh.
local function fail(message)
  io.stderr:write("neovim.lua: " .. message .. "\n")
  vim.cmd("cquit 1")
end

local function wait(what, condition)
  if not vim.wait(20000, condition, 20) then
    fail("waited in vain for " .. what)
  end
end

require("gainsay").setup({ cmd = { os.getenv("GAINSAY"), "serve" } })
vim.cmd("edit")
vim.bo.filetype = "pgn"

wait("the finding", function()
  local found = vim.diagnostic.get(0)
  return #found == 1 and found[1].source == "gainsay"
end)
local finding = vim.diagnostic.get(0)[1]

local function request(method, extra)
  local params = vim.tbl_extend("force", {
    textDocument = vim.lsp.util.make_text_document_params(),
  }, extra)
  local answers = vim.lsp.buf_request_sync(0, method, params, 10000)
  for _, answer in pairs(answers or {}) do
    return answer.result
  end
end

-- Columns of Neovim are bytes; "Qf3" stands behind "ï", which is two.
local line = vim.api.nvim_buf_get_lines(0, 8, 9, false)[1]
local column = line:find("Qf3", 1, true) - 1
local hover = request("textDocument/hover", {
  position = { line = 8, character = vim.str_utfindex(line, column) },
})
if not hover or not hover.contents.value:find("4.Qf3", 1, true) then
  fail("no board on hovering: " .. vim.inspect(hover))
end

local range = {
  start = { line = finding.lnum, character = vim.str_utfindex(line, finding.col) },
  ["end"] = { line = finding.end_lnum, character = vim.str_utfindex(line, finding.end_col) },
}
local actions = request("textDocument/codeAction", { range = range, context = { diagnostics = {} } })
local mend
for _, action in ipairs(actions or {}) do
  if action.kind == "quickfix" and not mend then
    mend = action
  end
end
if not mend then
  fail("no remedy: " .. vim.inspect(actions))
end
vim.lsp.util.apply_workspace_edit(mend.edit, "utf-16")
wait("the finding to go", function()
  return #vim.diagnostic.get(0) == 0
end)
vim.cmd("silent write")
vim.cmd("qall")
