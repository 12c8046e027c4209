-- What Neovim has and Vim has not: the language server, one for all scripts below a folder; and tree-sitter.
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

-- Colours by the grammar for tree-sitter, where its parser was put in place (editors/README.md).
function M.colour()
  if #vim.api.nvim_get_runtime_file('parser/waterleaf.*', false) == 0 then
    return
  end
  local fine, why = pcall(function()
    if vim.treesitter.start then
      vim.treesitter.start(0, 'waterleaf')
    else
      vim.treesitter.highlighter.new(vim.treesitter.get_parser(0, 'waterleaf'))
    end
  end)
  if not fine then
    vim.notify('waterleaf: no colours from tree-sitter: ' .. tostring(why), vim.log.levels.WARN)
  end
end

return M
