-- The language server in Neovim: one for all scripts below a folder.
local M = {}

function M.start()
  local file = vim.api.nvim_buf_get_name(0)
  local mark = vim.fn.findfile('waterleaf.root', vim.fn.fnamemodify(file, ':p:h') .. ';')
  local root = vim.fn.fnamemodify(mark ~= '' and mark or file, ':p:h')
  M.clients = M.clients or {}
  if not M.clients[root] then
    M.clients[root] = vim.lsp.start_client({name = 'waterleaf', cmd = {'waterleaf', 'lsp'}, root_dir = root,
      on_exit = function() M.clients[root] = nil end})
  end
  if M.clients[root] then
    vim.lsp.buf_attach_client(0, M.clients[root])
  end
end

return M
