-- :checkhealth gainsay

local M = {}

function M.check()
  local health = vim.health or {}
  local start = health.start or require("health").report_start
  local ok = health.ok or require("health").report_ok
  local warn = health.warn or require("health").report_warn
  local fail = health.error or require("health").report_error

  start("gainsay")
  if vim.fn.has("nvim-0.7") == 0 then
    fail("Neovim 0.7 or later is needed")
  end

  local gainsay = require("gainsay")
  if gainsay.config then
    ok("set up for files of the types " .. table.concat(gainsay.config.filetypes, ", "))
  else
    warn('not set up: call require("gainsay").setup() in init.lua')
  end

  local program = (gainsay.config or gainsay.defaults).cmd[1]
  if vim.fn.executable(program) == 1 then
    ok(vim.trim(vim.fn.system({ program, "--version" })) .. " at " .. vim.fn.exepath(program))
  else
    fail(program .. " is not found: run `cargo install --path crates/cli`, or name it with setup({ cmd = { ... } })")
  end

  if vim.fn.exists("#filetypedetect#BufRead#*.pgn") == 0 then
    warn("files that end in .pgn are not recognised: is `filetype` on, and this folder in a package path?")
  end

  local count = 0
  for _, client in pairs((vim.lsp.get_clients or vim.lsp.get_active_clients)()) do
    if client.name == "gainsay" then
      count = count + 1
    end
  end
  ok(count == 0 and "no server runs yet: open a game file" or ("servers that run: " .. count))
end

return M
