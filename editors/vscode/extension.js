// The extension: it starts the language server, and writes a batch sheet where it is asked to.
'use strict';
const {execFile} = require('node:child_process');
const path = require('node:path');
const vscode = require('vscode');
const {LanguageClient} = require('vscode-languageclient/node');

let client;

function setting(name) {
  return vscode.workspace.getConfiguration('waterleaf').get(name);
}

async function writeBatchSheet(script, batch) {
  const file = script || (vscode.window.activeTextEditor && vscode.window.activeTextEditor.document.uri.fsPath);
  if (!file) {
    return;
  }
  const name = batch || await vscode.window.showInputBox({prompt: 'The name of the batch or paper; nothing where there is one'});
  const to = await vscode.window.showSaveDialog({
    defaultUri: vscode.Uri.file(path.join(path.dirname(file), `${name || path.basename(file, '.wleaf')}.pdf`)),
    filters: {Pages: ['pdf', 'html', 'txt']},
  });
  if (to) {
    execFile(setting('program'), ['write', 'batch-sheet', file, ...(name ? [name] : []), '-o', to.fsPath], (error, out, said) => {
      if (error) {
        vscode.window.showErrorMessage(said || error.message);
      } else {
        vscode.env.openExternal(to);
      }
    });
  }
}

function activate(context) {
  client = new LanguageClient('waterleaf', 'Waterleaf', {command: setting('program'), args: ['lsp']}, {
    documentSelector: [{language: 'wleaf'}],
    initializationOptions: {hints: setting('hints')},
    synchronize: {configurationSection: 'waterleaf', fileEvents: vscode.workspace.createFileSystemWatcher('**/*.wleaf')},
  });
  context.subscriptions.push(vscode.commands.registerCommand('waterleaf.writeBatchSheet', writeBatchSheet));
  return client.start();
}

function deactivate() {
  return client && client.stop();
}

module.exports = {activate, deactivate};
