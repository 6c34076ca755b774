-- The board at the cursor, in letters, in a window of its own.

local M = {}

local buffer
local group
-- How many boards were asked for: the answers need not come in their order.
local asked = 0

--- Asks the server for a board. `command` is "gainsay.board" or "gainsay.step". `answered` is told
--- the board, the client, and whether nothing was asked for since.
local function ask(command, direction, answered)
  asked = asked + 1
  local own = asked
  local source = vim.api.nvim_get_current_buf()
  local get = vim.lsp.get_clients or vim.lsp.get_active_clients
  for _, client in ipairs(get({ name = "gainsay", bufnr = source })) do
    -- Neovim before 0.8 gives the clients of all buffers.
    if client.name == "gainsay" and vim.lsp.buf_is_attached(source, client.id) then
      local place = vim.lsp.util.make_position_params(0, client.offset_encoding)
      client.request("workspace/executeCommand", {
        command = command,
        arguments = { place.textDocument.uri, place.position, direction },
      }, function(failure, board)
        if failure then
          vim.notify(failure.message, vim.log.levels.WARN)
        else
          answered(type(board) == "table" and board or nil, client, own == asked)
        end
      end, source)
      return
    end
  end
  vim.notify("gainsay does not check this file; :GainsayStart starts it", vim.log.levels.WARN)
end

--- The window that shows the board, if there is one.
local function window()
  local at = buffer and vim.api.nvim_buf_is_valid(buffer) and vim.fn.bufwinid(buffer) or -1
  return at ~= -1 and at or nil
end

local function write(board)
  if not window() then
    return
  end
  local lines = { "There is no position here." }
  if board then
    lines = { type(board.move) == "string" and "After " .. board.move or "Position", board.summary, "" }
    vim.list_extend(lines, board.text)
  end
  vim.api.nvim_buf_set_option(buffer, "modifiable", true)
  vim.api.nvim_buf_set_lines(buffer, 0, -1, false, lines)
  vim.api.nvim_buf_set_option(buffer, "modifiable", false)
end

--- Shows the position at the cursor in the board's window.
function M.refresh()
  if window() and vim.api.nvim_get_current_buf() ~= buffer then
    ask("gainsay.board", nil, function(board, _, latest)
      if latest then
        write(board)
      end
    end)
  end
end

--- Opens the board beside the text; it follows the cursor.
function M.open()
  if not window() then
    local text = vim.api.nvim_get_current_win()
    vim.cmd("silent keepalt botright 24vsplit")
    if not (buffer and vim.api.nvim_buf_is_valid(buffer)) then
      buffer = vim.api.nvim_create_buf(false, true)
    end
    vim.api.nvim_win_set_buf(0, buffer)
    vim.api.nvim_win_set_option(0, "number", false)
    vim.api.nvim_win_set_option(0, "wrap", true)
    vim.api.nvim_win_set_option(0, "winfixwidth", true)
    vim.api.nvim_set_current_win(text)
    group = vim.api.nvim_create_augroup("gainsay_board", { clear = true })
    vim.api.nvim_create_autocmd({ "CursorMoved", "CursorMovedI", "BufEnter" }, {
      group = group,
      callback = function(event)
        local get = vim.lsp.get_clients or vim.lsp.get_active_clients
        for _, client in ipairs(get({ name = "gainsay" })) do
          if client.name == "gainsay" and vim.lsp.buf_is_attached(event.buf, client.id) then
            return M.refresh()
          end
        end
      end,
    })
  end
  M.refresh()
end

--- Closes the board.
function M.close()
  if window() then
    vim.api.nvim_win_close(window(), true)
  end
  if group then
    vim.api.nvim_del_augroup_by_id(group)
    group = nil
  end
end

--- Goes to the "next" or the "previous" move of the line at the cursor, or to its "start" or
--- "end".
function M.step(direction)
  local from = vim.api.nvim_get_current_win()
  ask("gainsay.step", direction, function(board, client, latest)
    if not board then
      local last = direction == "next" or direction == "end"
      vim.notify(last and "The last move of this line" or "The first move of this line")
      return
    end
    local line = vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(from), board.position.line, board.position.line + 1, false)[1]
    local column = board.position.character
    if client.offset_encoding ~= "utf-8" then
      column = vim.str_byteindex(line or "", column, client.offset_encoding ~= "utf-32")
    end
    vim.api.nvim_win_set_cursor(from, { board.position.line + 1, column })
    if latest then
      write(board)
    end
  end)
end

return M
