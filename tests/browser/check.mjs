/* Opens pages in Chromium, on a desktop's and on a phone's width, and looks for what keeps people out of them: WCAG 2.2, level AA, as
 * far as it can be tested by a program (axe-core); anything that is loaded from outside; a width that must be scrolled.
 *
 *   node check.mjs CHROMIUM AXE FILE…         prints what is wrong, then how many tests passed and failed; status 77: Chromium
 *                                             cannot show even one page here
 *
 * FILE named bad-… must be found wrong: by the axe rule that its name says behind "bad-", or "outside", or "wide". Chromium is
 * spoken to over two pipes, by the DevTools protocol. */
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [chromium, axe, ...files] = process.argv.slice(2);
const widths = [1280, 360];
const levels = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
const folder = mkdtempSync(join(tmpdir(), "browser-"));
const browser = spawn(chromium, [
  "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync", "--remote-debugging-pipe", `--user-data-dir=${folder}`,
], { stdio: ["ignore", "ignore", "pipe", "pipe", "pipe"], detached: true });

let number = 0;
let complaints = "";
let gone = false;
const waiting = new Map();
const listeners = new Set();
let rest = "";

browser.stderr.on("data", (bytes) => (complaints = (complaints + bytes).slice(-2000)));
browser.on("exit", (code, signal) => {
  gone = true;
  waiting.forEach(({ fail }) => fail(new Error(`it ended (${signal ?? code}): ${complaints.trim().split("\n").pop()}`)));
});
browser.stdio[3].on("error", () => {}); /* "exit" tells */
browser.stdio[4].on("data", (bytes) => {
  const parts = (rest + bytes).split("\0");
  rest = parts.pop();
  for (const part of parts) {
    const message = JSON.parse(part);
    if (message.id === undefined) {
      listeners.forEach((listener) => listener(message));
      continue;
    }
    const { done, fail } = waiting.get(message.id);
    waiting.delete(message.id);
    message.error ? fail(new Error(message.error.message)) : done(message.result);
  }
});

function ask(method, params = {}, sessionId = undefined) {
  return new Promise((done, fail) => {
    if (gone) return fail(new Error("it ended"));
    waiting.set(++number, { done, fail });
    browser.stdio[3].write(`${JSON.stringify({ id: number, method, params, sessionId })}\0`);
  });
}

/* That URL is loaded, not the empty page that stood there before. Within half a minute, or it is an error. */
function loads(session, url) {
  const loaded = new Set();
  return new Promise((done, fail) => {
    const late = setTimeout(() => fail(new Error(`${url} is not loaded after 30 s`)), 30000);
    let wanted = null;
    const listener = ({ sessionId, method, params }) => {
      if (sessionId === session && method === "Page.lifecycleEvent" && params.name === "load") loaded.add(params.loaderId);
      finish();
    };
    const finish = () => {
      if (wanted === null || !loaded.has(wanted)) return;
      listeners.delete(listener);
      clearTimeout(late);
      done();
    };
    listeners.add(listener);
    ask("Page.navigate", { url }, session).then(({ loaderId, errorText }) => {
      if (errorText) return fail(new Error(`${url}: ${errorText}`));
      wanted = loaderId;
      finish();
    }, fail);
  });
}

async function evaluate(session, expression) {
  const answer = await ask("Runtime.evaluate", { expression, awaitPromise: true, returnByValue: true }, session);
  if (answer.exceptionDetails) throw new Error(answer.exceptionDetails.exception?.description ?? answer.exceptionDetails.text);
  return answer.result.value;
}

/* What is wrong with FILE on a screen of WIDTH: [what, where]. */
async function look(file, width) {
  const { targetId } = await ask("Target.createTarget", { url: "about:blank" });
  const { sessionId } = await ask("Target.attachToTarget", { targetId, flatten: true });
  const asked = [];
  const listener = (message) => {
    if (message.sessionId === sessionId && message.method === "Network.requestWillBeSent") asked.push(message.params.request.url);
  };
  listeners.add(listener);
  await ask("Page.enable", {}, sessionId);
  await ask("Page.setLifecycleEventsEnabled", { enabled: true }, sessionId);
  await ask("Network.enable", {}, sessionId);
  await ask("Emulation.setDeviceMetricsOverride", { width, height: 800, deviceScaleFactor: 1, mobile: width < 600 }, sessionId);
  const url = pathToFileURL(resolve(file)).href;
  await loads(sessionId, url);
  const wrong = asked.filter((one) => one !== url && !one.startsWith("data:")).map((one) => ["outside", one.slice(0, 100)]);
  const letters = await evaluate(sessionId, `(() => { const range = document.createRange(); range.selectNodeContents(document.querySelector("h1") ?? document.body);
    return range.getBoundingClientRect().width; })()`);
  if (!(letters > 0)) throw new Error("it has no fonts: letters have no width");
  const wide = await evaluate(sessionId, "document.documentElement.scrollWidth");
  if (wide > width) wrong.push(["wide", `${wide} of ${width}`]);
  await evaluate(sessionId, readFileSync(axe, "utf8"));
  const found = await evaluate(sessionId, `axe.run(document, { runOnly: ${JSON.stringify(levels)}, resultTypes: ["violations"] })
    .then((all) => ({ rules: all.passes.length + all.violations.length + all.incomplete.length, wrong: all.violations.map((one) => [one.id, one.nodes[0].html.slice(0, 160)]) }))`);
  if (found.rules < 5) wrong.push(["looked-at-nothing", `${found.rules} rules`]);
  listeners.delete(listener);
  await ask("Target.closeTarget", { targetId });
  return wrong.concat(found.wrong);
}

let passed = 0;
let failed = 0;
let looked = 0;
let cannot = false;
function count(fine, says) {
  if (fine) passed++;
  else {
    failed++;
    console.log(`  ${says}`);
  }
}

try {
  for (const file of files) {
    const bad = /^bad-(.*)\.html$/.exec(basename(file))?.[1];
    const all = new Map();
    for (const width of widths) {
      const wrong = await look(file, width);
      looked++;
      wrong.forEach(([what, where]) => all.set(what, where));
      if (bad === undefined) count(wrong.length === 0, `${basename(file)}, ${width} wide: ${wrong.map((one) => one.join(": ")).join("; ")}`);
    }
    if (bad !== undefined) count(all.has(bad), `${basename(file)} is not found wrong`);
  }
} catch (error) {
  count(false, `Chromium: ${error.message}`);
  cannot = looked === 0;
} finally {
  await Promise.race([ask("Browser.close").catch(() => {}), new Promise((done) => setTimeout(done, 3000))]);
  browser.kill();
  await new Promise((done) => (browser.exitCode !== null || browser.signalCode !== null ? done() : browser.on("exit", done)));
  try {
    process.kill(-browser.pid, "SIGKILL"); /* those that it started, which may still write */
  } catch {}
  try {
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  } catch {} /* it lies among what is gone after the test */
}
console.log(`browser: ${passed} passed, ${failed} failed`);
process.exit(cannot ? 77 : failed === 0 && passed > 0 ? 0 : 1);
