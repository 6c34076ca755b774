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

local function expect(what, condition)
  if not condition then
    fail("not so: " .. what)
  end
end

-- What the server complains of.
local complaints = {}
vim.lsp.handlers["window/showMessage"] = function(_, message)
  table.insert(complaints, message.message)
end

local function findings()
  return vim.diagnostic.get(0)
end

expect("the file is known as PGN", vim.bo.filetype == "pgn")
wait("the finding", function()
  return #findings() == 1 and findings()[1].code == "missing-mate-sign"
end)
expect("legal moves are completed", vim.bo.omnifunc == "v:lua.vim.lsp.omnifunc")
local finding = findings()[1]

local function attached()
  local get = vim.lsp.get_clients or vim.lsp.buf_get_clients
  return not vim.tbl_isempty(get(vim.lsp.get_clients and { bufnr = 0 } or 0))
end

local function request(method, extra)
  local params = vim.tbl_extend("force", {
    textDocument = vim.lsp.util.make_text_document_params(),
  }, extra)
  local answers = vim.lsp.buf_request_sync(0, method, params, 10000)
  for _, answer in pairs(answers or {}) do
    return answer.result
  end
end

local function clients()
  return (vim.lsp.get_clients or vim.lsp.get_active_clients)()
end

-- Columns of Neovim are bytes; those of the protocol are what client and server agreed upon.
-- "Qf3" stands behind "ï", which is two bytes and one unit of UTF-16.
local line = vim.api.nvim_buf_get_lines(0, 8, 9, false)[1]
local _, client = next(clients())
local function character(column)
  return client.offset_encoding == "utf-8" and column or select(2, vim.str_utfindex(line, column))
end
local hover = request("textDocument/hover", {
  position = { line = 8, character = character(line:find("Qf3", 1, true) - 1) },
})
if not hover or not hover.contents.value:find("4.Qf3", 1, true) then
  fail("no board on hovering: " .. vim.inspect(hover))
end

-- The board beside the text, which follows the steps: along the game, and back.
vim.cmd("GainsayBoard")
local function board()
  for _, window in ipairs(vim.api.nvim_list_wins()) do
    local shown = vim.api.nvim_win_get_buf(window)
    if shown ~= vim.api.nvim_get_current_buf() then
      return table.concat(vim.api.nvim_buf_get_lines(shown, 0, -1, false), "\n")
    end
  end
  return ""
end
local function shows(words)
  wait("the board to show " .. words, function()
    return board():find(words, 1, true) ~= nil
  end)
end
vim.api.nvim_win_set_cursor(0, { 9, line:find("Qh5", 1, true) - 1 })
vim.cmd("doautocmd CursorMoved")
shows("After 3.Qh5")
shows("5  : · : · p · :[Q]")
vim.cmd("GainsayStep next")
shows("After 3...Nf6")
expect("the cursor is at the move", vim.api.nvim_win_get_cursor(0)[2] == line:find("Nf6 (", 1, true) - 1)
vim.cmd("normal [v")
shows("After 3.Qh5")
vim.cmd("normal [v")
-- Behind a comment in letters of more than one byte.
shows("After 2...Nc6")
vim.cmd("GainsayStep end")
shows("Black is mated")
require("gainsay.board").close()
expect("the board is closed", #vim.api.nvim_list_wins() == 1)

local range = {
  start = { line = finding.lnum, character = character(finding.col) },
  ["end"] = { line = finding.end_lnum, character = character(finding.end_col) },
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
vim.lsp.util.apply_workspace_edit(mend.edit, client.offset_encoding)
wait("the finding to go", function()
  return #findings() == 0
end)
vim.cmd("silent write")

-- Positions.
vim.cmd("silent edit exercises.epd")
expect("the file is known as EPD", vim.bo.filetype == "epd")
wait("the finding of the positions", function()
  return #findings() == 1 and findings()[1].code == "false-mate"
end)

-- A manuscript with a block of chess is checked, one without is not until it has one.
vim.cmd("silent edit chapter.md")
wait("the finding of the manuscript", function()
  return #findings() == 1 and findings()[1].lnum == 5
end)
vim.cmd("silent edit letter.md")
vim.api.nvim_buf_set_lines(0, 0, -1, false, { "Dear reader,", "no chess today: 1. e4 e5 2. Ke3." })
vim.cmd("silent write")
expect("a letter is left alone", not attached())
vim.api.nvim_buf_set_lines(0, -1, -1, false, { "", "```pgn", "1. e4 e5 2. Ke3 *", "```" })
vim.cmd("silent write")
wait("the finding of the letter", function()
  for _, finding in ipairs(findings()) do
    if finding.code == "illegal-move" then
      return true
    end
  end
  return false
end)

-- Plain text when it is asked for.
vim.cmd("silent edit notes.txt")
vim.api.nvim_buf_set_lines(0, 0, -1, false, { "Two slips:", "", "1. e4 e5 2. Nf3+ Nc6 3. Ke3 *" })
vim.cmd("silent write")
expect("plain text is left alone", not attached())
vim.cmd("GainsayStart")
wait("the finding of the notes", function()
  return #findings() == 2
end)

-- Sets the plugin up anew and opens the notes with a server of their own.
local function restart(settings)
  require("gainsay").setup({ settings = settings, manuscripts = {} })
  vim.lsp.stop_client(clients(), true)
  wait("the server to end", function()
    return vim.tbl_isempty(clients())
  end)
  vim.cmd("silent edit! notes.txt")
  vim.cmd("GainsayStart")
end

-- Other ways to set it up: with nothing set, and with tables that are empty.
for _, settings in ipairs({ {}, { rules = {} }, { rules = { ["illegal-move"] = "off" } } }) do
  restart(settings)
  local left = settings.rules and settings.rules["illegal-move"] and 1 or 2
  wait("findings by the settings " .. vim.inspect(settings), function()
    return #findings() == left
  end)
end

-- Findings of a file that is not open, when they are asked for.
vim.fn.writefile({ "1. e4 e5 2. Ke3 *" }, "shelved.pgn")
restart({ closedFiles = "pushed" })
wait("the finding of a file that is not open", function()
  for _, finding in ipairs(vim.diagnostic.get()) do
    local name = vim.api.nvim_buf_get_name(finding.bufnr)
    if name:find("shelved%.pgn$") and finding.code == "illegal-move" then
      return not vim.api.nvim_buf_is_loaded(finding.bufnr)
    end
  end
  return false
end)
vim.cmd("silent edit! chapter.md")
expect("manuscripts can be left alone", not attached())

vim.cmd("silent checkhealth gainsay")
local health = table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\n")
for _, said in ipairs({ "OK:? gainsay %d+%.%d+%.%d+ at ", "OK:? set up for files of the types pgn, epd", "OK:? servers that run: 1" }) do
  expect("health says " .. said .. " in:\n" .. health, health:find(said))
end
expect("health has no fault in:\n" .. health, not health:find("ERROR") and not health:find("WARN"))
require("gainsay").setup({ cmd = { "no-such-program", "serve" } })
vim.cmd("silent checkhealth gainsay")
health = table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\n")
expect("health tells of a missing program in:\n" .. health, health:find("no%-such%-program is not found"))

if #complaints > 0 then
  fail("the server complained: " .. table.concat(complaints, " "))
end
vim.cmd("qall!")
