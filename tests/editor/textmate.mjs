// The TextMate grammar against the program's own reading: each comment, text, number and unit that the language server tells is one for the grammar too.
//
//     node textmate.mjs PROGRAM GRAMMAR MODULES SCRIPT...
import {spawn} from 'node:child_process';
import {createRequire} from 'node:module';
import {readFileSync} from 'node:fs';
import {resolve} from 'node:path';
import {pathToFileURL} from 'node:url';

const [program, grammarFile, modules, ...scripts] = process.argv.slice(2);
const require = createRequire(resolve(modules, 'x.js'));
const oniguruma = require('vscode-oniguruma');
const {Registry, INITIAL, parseRawGrammar} = require('vscode-textmate');
await oniguruma.loadWASM(readFileSync(require.resolve('vscode-oniguruma/release/onig.wasm')).buffer);
const registry = new Registry({
  onigLib: Promise.resolve({createOnigScanner: sources => new oniguruma.OnigScanner(sources), createOnigString: text => new oniguruma.OnigString(text)}),
  loadGrammar: async () => parseRawGrammar(readFileSync(grammarFile, 'utf8'), grammarFile),
});
const grammar = await registry.loadGrammar('source.wleaf');

// ---- the language server, asked what each word is ----
const server = spawn(program, ['lsp'], {stdio: ['pipe', 'pipe', 'inherit']});
let pending = Buffer.alloc(0), number = 0;
const waiting = new Map();
server.stdout.on('data', bytes => {
  pending = Buffer.concat([pending, bytes]);
  for (;;) {
    const head = pending.indexOf('\r\n\r\n');
    if (head < 0) return;
    const length = Number(/Content-Length: (\d+)/i.exec(pending.subarray(0, head).toString())[1]);
    if (pending.length < head + 4 + length) return;
    const message = JSON.parse(pending.subarray(head + 4, head + 4 + length).toString());
    pending = pending.subarray(head + 4 + length);
    if (waiting.has(message.id)) waiting.get(message.id)(message.result);
  }
});
const send = message => {
  const body = JSON.stringify({jsonrpc: '2.0', ...message});
  server.stdin.write(`Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
};
const ask = (method, params) => new Promise(done => { waiting.set(++number, done); send({id: number, method, params}); });
const able = await ask('initialize', {capabilities: {}});
const types = able.capabilities.semanticTokensProvider.legend.tokenTypes;
const wanted = {comment: /^comment/, string: /^string/, number: /^constant\.numeric/, type: /^support\.type\.unit/};

let passed = 0, failed = 0;
for (const script of scripts) {
  const text = readFileSync(script, 'utf8'), lines = text.split('\n'), uri = pathToFileURL(resolve(script)).href;
  let stack = INITIAL;
  const scopes = lines.map(line => { const {tokens, ruleStack} = grammar.tokenizeLine(line, stack); stack = ruleStack; return tokens; });
  send({method: 'textDocument/didOpen', params: {textDocument: {uri, languageId: 'wleaf', version: 1, text}}});
  const {data} = await ask('textDocument/semanticTokens/full', {textDocument: {uri}});
  let line = 0, character = 0;
  for (let i = 0; i < data.length; i += 5) {
    character = data[i] > 0 ? data[i + 1] : character + data[i + 1];
    line += data[i];
    const type = types[data[i + 3]], token = scopes[line].find(one => one.startIndex <= character && character < one.endIndex);
    const within = token.scopes.some(scope => scope.startsWith('string')) && type !== 'string' && token.scopes.some(scope => scope.startsWith('meta.embedded')) === false;
    if (!(type in wanted)) continue;
    if (!within && token.scopes.some(scope => wanted[type].test(scope))) passed++;
    else {
      failed++;
      if (failed < 20) console.log(`  ${script}:${line + 1}:${character + 1}: ${type} '${lines[line].slice(character, character + data[i + 2])}' is ${token.scopes.join(' ')}`);
    }
  }
  send({method: 'textDocument/didClose', params: {textDocument: {uri}}});
}
await ask('shutdown', null);
send({method: 'exit'});
console.log(`editor/textmate: ${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 || passed < 500 ? 1 : 0;
