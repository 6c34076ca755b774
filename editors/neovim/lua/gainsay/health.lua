-- :checkhealth gainsay

local M = {}

function M.check()
  local health = vim.health or {}
  local start = health.start or require("health").report_start
  local ok = health.ok or require("health").report_ok
  local warn = health.warn or require("health").report_warn
  local fail = health.error or require("health").report_error

  start("gainsay")
  local gainsay = require("gainsay")
  if not gainsay.config then
    warn('not set up: call require("gainsay").setup()')
  end
  local program = (gainsay.config or gainsay.defaults).cmd[1]
  if vim.fn.executable(program) == 1 then
    ok(vim.trim(vim.fn.system({ program, "--version" })) .. " at " .. vim.fn.exepath(program))
  else
    fail(program .. " is not found: run `cargo install --path crates/cli`, or name it with setup({ cmd = { ... } })")
  end
end

return M
