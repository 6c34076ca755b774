-- gainsay in Neovim: starts the language server for game files and manuscripts.
--
-- Works from Neovim 0.7 on, without any other plugin.

local M = {}

M.defaults = {
  --- The command that starts the language server.
  cmd = { "gainsay", "serve" },
  --- Files of these types are always checked.
  filetypes = { "pgn", "epd" },
  --- Files of these types are checked when they hold a fenced block of chess.
  manuscripts = { "markdown" },
  --- Keys that go to another move of the line at the cursor; an empty one is no key.
  keys = { next = "]v", previous = "[v", start = "[V", ["end"] = "]V" },
  --- The same as in gainsay.toml; see the README of gainsay.
  settings = {},
}

--- The folder of the settings file, or of the repository, or of the file itself.
local function root_of(path)
  local folder = path ~= "" and vim.fn.fnamemodify(path, ":p:h") or vim.fn.getcwd()
  local above = vim.fn.escape(folder, ",; ") .. ";"
  local file = vim.fn.findfile("gainsay.toml", above)
  if file ~= "" then
    return vim.fn.fnamemodify(file, ":p:h")
  end
  local repository = vim.fn.finddir(".git", above)
  return repository ~= "" and vim.fn.fnamemodify(repository, ":p:h:h") or folder
end

local function client_config(buffer)
  -- An empty table would be told as a list.
  local settings = next(M.config.settings) and M.config.settings or vim.empty_dict()
  return {
    name = "gainsay",
    cmd = M.config.cmd,
    root_dir = root_of(vim.api.nvim_buf_get_name(buffer)),
    init_options = settings,
    settings = { gainsay = settings },
    capabilities = vim.lsp.protocol.make_client_capabilities(),
  }
end

--- Keys for the steps, in a buffer that is checked.
local function map_steps(buffer)
  for direction, key in pairs(M.config.keys or {}) do
    if key ~= "" then
      vim.api.nvim_buf_set_keymap(buffer, "n", key, "<Cmd>GainsayStep " .. direction .. "<CR>", {
        noremap = true,
        desc = "gainsay: " .. direction .. " of this line's moves",
      })
    end
  end
end

local started = {}

--- Starts the server for a buffer, the current one by default.
function M.start(buffer)
  buffer = buffer or vim.api.nvim_get_current_buf()
  local config = client_config(buffer)
  map_steps(buffer)
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
    vim.api.nvim_buf_set_option(buffer, "omnifunc", "v:lua.vim.lsp.omnifunc")
  end
end

local chess = { pgn = true, fen = true, epd = true }

--- Whether a buffer holds a fenced block of chess.
local function is_manuscript(buffer)
  for _, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
    local word = line:match("^%s*```+%s*(%a+)") or line:match("^%s*~~~+%s*(%a+)")
    if word and chess[word:lower()] then
      return true
    end
  end
  return false
end

--- Starts the server for every file of the chosen types that is opened from now on.
function M.setup(options)
  if vim.fn.has("nvim-0.9") == 1 then
    -- The protocol has no name for moves that a comment cites.
    vim.api.nvim_set_hl(0, "@lsp.type.citedMove", { link = "Special", default = true })
  end
  M.config = vim.tbl_deep_extend("force", M.defaults, options or {})
  local group = vim.api.nvim_create_augroup("gainsay", { clear = true })
  vim.api.nvim_create_autocmd("FileType", {
    group = group,
    pattern = M.config.filetypes,
    callback = function(event)
      M.start(event.buf)
    end,
  })
  -- The first block may be written long after the file was opened.
  vim.api.nvim_create_autocmd({ "FileType", "BufWritePost" }, {
    group = group,
    callback = function(event)
      local kind = vim.api.nvim_buf_get_option(event.buf, "filetype")
      if vim.tbl_contains(M.config.manuscripts, kind) and is_manuscript(event.buf) then
        M.start(event.buf)
      end
    end,
  })
  vim.api.nvim_create_user_command("GainsayStart", function()
    M.start()
  end, { desc = "Check this file, whatever its type" })
  vim.api.nvim_create_user_command("GainsayBoard", function()
    require("gainsay.board").open()
  end, { desc = "Show the board beside the text" })
  vim.api.nvim_create_user_command("GainsayStep", function(command)
    require("gainsay.board").step(command.args)
  end, {
    nargs = 1,
    complete = function()
      return { "next", "previous", "start", "end" }
    end,
    desc = "Go to another move of the line at the cursor",
  })
end

return M
