-- gainsay in Neovim: starts the language server for game files.
--
-- Works from Neovim 0.7 on, without any other plugin.

local M = {}

--- Settings, the same as in gainsay.toml; see the README of gainsay.
M.defaults = {
  cmd = { "gainsay", "serve" },
  filetypes = { "pgn", "epd" },
  settings = {},
}

local function root_of(path)
  local found = vim.fs and vim.fs.find({ "gainsay.toml", ".git" }, { upward = true, path = path })[1]
  return found and vim.fs.dirname(found) or vim.fn.fnamemodify(path, ":h")
end

local function client_config(buffer)
  local path = vim.api.nvim_buf_get_name(buffer)
  return {
    name = "gainsay",
    cmd = M.config.cmd,
    root_dir = root_of(path ~= "" and path or vim.fn.getcwd()),
    init_options = M.config.settings,
    settings = { gainsay = M.config.settings },
    capabilities = vim.lsp.protocol.make_client_capabilities(),
  }
end

local started = {}

local function start(buffer)
  local config = client_config(buffer)
  if vim.lsp.start then
    vim.lsp.start(config, { bufnr = buffer })
    return
  end
  -- Neovim 0.7 has no vim.lsp.start, which uses one client for a root.
  local id = started[config.root_dir]
  if not id or not vim.lsp.get_client_by_id(id) then
    id = vim.lsp.start_client(config)
    started[config.root_dir] = id
  end
  if id then
    vim.lsp.buf_attach_client(buffer, id)
  end
end

--- Starts the server for every game file that is opened from now on.
function M.setup(options)
  M.config = vim.tbl_deep_extend("force", M.defaults, options or {})
  if vim.filetype and vim.filetype.add then
    vim.filetype.add({ extension = { pgn = "pgn", epd = "epd" } })
  end
  local group = vim.api.nvim_create_augroup("gainsay", { clear = true })
  vim.api.nvim_create_autocmd("FileType", {
    group = group,
    pattern = M.config.filetypes,
    callback = function(event)
      start(event.buf)
    end,
  })
end

return M
