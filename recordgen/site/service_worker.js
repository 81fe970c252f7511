/* Keeps visited buildings on the device, for rooms without signal.

   What may never happen is that a stale sheet looks fresh. So:
   - a page is asked of the server first; only if there is no answer soon does a kept one stand in;
   - a kept page says at its top which revision it is, and of what day;
   - every file is held against the digest of its building's list before it is kept;
   - a page that has changed on the server and could not be fetched any more says that, too.

   Each building is a cache of its own, named by the digest of its list. When the list changes, a
   new one is filled, with the unchanged files of the earlier one; that is removed once the new one
   is complete, and until then its pages can still be read. */
"use strict";

const SITE = {{site}};
const SCOPE = self.registration.scope;
const PREFIX = `recordgen ${SCOPE} `;
const SHARED = "shared";
const SERVER_MS = 4000; // how long the server has before a kept page is shown
const AT_ONCE = 6; // files that are fetched at the same time
const TELL_EVERY = 20; // files after which a page is told how far it is
const LARGE_BYTES = 150e6; // above that, a person is asked before a building is fetched
const FACTS = `${SCOPE}.kept.json`;
const LIST = `${SCOPE}.kept-list.json`;
const WISHES = `${PREFIX}wishes`;

const running = new Map(); // building → promise of its state
const shown = new Set(); // ids of windows that show a kept page

class Interrupted extends Error {}

// Paths and addresses.

function address(path) {
  return SCOPE + path.split("/").map(encodeURIComponent).join("/");
}

/* Return the path in the site of an address; null if it leads elsewhere. */
function pathOf(url) {
  const plain = url.split(/[?#]/)[0];
  if (!plain.startsWith(SCOPE)) return null;
  try {
    const path = decodeURIComponent(plain.slice(SCOPE.length));
    return path === "" || path.endsWith("/") ? `${path}index.html` : path;
  } catch {
    return null; // no address that a page wrote
  }
}

// What is kept.

function json(facts) {
  return new Response(JSON.stringify(facts), { headers: { "content-type": "application/json" } });
}

async function read(cache, url) {
  const found = await cache.match(url);
  return found ? found.json() : null;
}

/* Return the caches of the site with their facts, the one with the newest list first. */
async function caches_held() {
  const names = (await caches.keys()).filter((n) => n.startsWith(PREFIX) && n !== WISHES);
  const held = await Promise.all(
    names.map(async (name) => {
      const cache = await caches.open(name);
      return { name, cache, facts: await read(cache, FACTS) };
    }),
  );
  return held.filter((one) => one.facts).sort((a, b) => b.facts.began - a.facts.began);
}

/* Return a kept file with the facts of its cache, and whether a newer list has another one. */
async function kept(path) {
  const held = await caches_held();
  const home = path.split("/")[0];
  held.sort((a, b) => (b.facts.id === home) - (a.facts.id === home));
  const seen = new Set();
  for (const { cache, facts } of held) {
    const response = await cache.match(address(path));
    if (response) return { response, facts, superseded: seen.has(facts.id) };
    seen.add(facts.id);
  }
  return null;
}

async function digestOf(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest.slice(0, 8)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/* Return a file as the list has it; what has another digest is asked for once more. */
async function fetched([path, , digest]) {
  for (const cache of ["no-cache", "reload"]) {
    let response;
    try {
      response = await fetch(address(path), { cache });
    } catch {
      throw new Interrupted("the connection was lost");
    }
    if (!response.ok) throw new Interrupted(`the server answered ${response.status} for ${path}`);
    const bytes = await response.arrayBuffer();
    if ((await digestOf(bytes)) === digest) {
      const type = response.headers.get("content-type") ?? "";
      return new Response(bytes, { headers: { "content-type": type } });
    }
  }
  throw new Interrupted(`${path} is not what the site was built with; it may have just changed`);
}

/* Fill the cache of a list, take over what has not changed, and remove the earlier ones. */
async function fill(id, list, tell) {
  const name = `${PREFIX}${id === SHARED ? "" : "building "}${id} ${list.digest}`;
  const cache = await caches.open(name);
  const facts = { ...list.about, id, digest: list.digest, total: list.files.length };
  facts.began = (await read(cache, FACTS))?.began ?? Date.now();
  facts.when = list.when;
  const complete = (await read(cache, FACTS))?.complete ?? false;
  await cache.put(FACTS, json({ ...facts, complete }));
  const others = (await caches_held()).filter((o) => o.facts.id === id && o.name !== name);
  if (!complete) {
    await cache.put(LIST, json(list.files));
    for (const other of others) {
      other.digests = new Map((await read(other.cache, LIST))?.map(([path, , d]) => [path, d]));
    }
    const there = new Set((await cache.keys()).map((request) => request.url));
    let done = 0;
    const holderOf = (file) => others.find((other) => other.digests.get(file[0]) === file[2]);
    // What has not changed comes first: what is left in an earlier cache is out of date then.
    const [same, rest] = [[], []];
    for (const file of list.files) (holderOf(file) ? same : rest).push(file);
    const waiting = [...same, ...rest][Symbol.iterator]();
    const work = async () => {
      for (const file of waiting) {
        const url = address(file[0]);
        if (!there.has(url)) {
          const holder = holderOf(file);
          const held = await holder?.cache.match(url);
          await cache.put(url, held ?? (await fetched(file)));
          // Two copies of one file would need the room twice.
          if (held) await holder.cache.delete(url);
        }
        done += 1;
        if (done % TELL_EVERY === 0) await tell({ ...facts, state: "filling", done });
      }
    };
    // All of them have to end: one that is left behind would fill a cache that was given up.
    const ends = await Promise.allSettled(Array.from({ length: AT_ONCE }, work));
    const failed = ends.find((end) => end.status === "rejected");
    if (failed) throw Object.assign(failed.reason, { facts: { ...facts, done } });
    await cache.put(FACTS, json({ ...facts, complete: true }));
  }
  for (const other of others) await caches.delete(other.name);
  return { ...facts, state: "kept", done: facts.total };
}

// Buildings.

async function tellAll(said) {
  for (const client of await self.clients.matchAll({ includeUncontrolled: true })) {
    client.postMessage(said);
  }
}

async function wish(building, said) {
  const cache = await caches.open(WISHES);
  if (said !== undefined) await cache.put(address(building), json(said));
  return read(cache, address(building));
}

async function listOf(building) {
  let response;
  try {
    response = await fetch(address(`${building}/offline.json`), { cache: "no-cache" });
  } catch {
    throw new Interrupted("the connection was lost");
  }
  if (!response.ok) throw new Interrupted(`the server answered ${response.status} for its list`);
  const list = await response.json();
  const when = Date.parse(response.headers.get("date")) || Date.now();
  const { bytes, pages } = list;
  return { ...list, when, about: { bytes, pages, name: SITE.buildings[building] ?? building } };
}

/* Fetch a building, or make sure that the kept one is what the server has; return its state. */
async function keep({ keep: building, first, sparing, asked }) {
  if (asked) await wish(building, "keep");
  const wanted = await wish(building);
  const earlier = (await caches_held()).find((one) => one.facts.id === building);
  if (wanted === "not") return { state: "not wanted" };
  try {
    const list = await listOf(building);
    if (!wanted && !earlier && (sparing || list.bytes > LARGE_BYTES)) {
      return { ...list.about, state: "asks" };
    }
    list.files.sort((a, b) => (b[0] === first) - (a[0] === first));
    return await fill(building, list, (state) => tellAll({ building, ...state }));
  } catch (error) {
    const held = (await caches_held()).filter((one) => one.facts.id === building);
    const whole = held.find((one) => one.facts.complete)?.facts;
    // No newer list is known: what is kept is whole, though nobody could be asked about it.
    if (whole && held.length === 1) return { ...whole, state: "kept" };
    const state = error.name === "QuotaExceededError" ? "full" : "interrupted";
    return { ...(error.facts ?? whole), state, whole, reason: error.message };
  }
}

/* Return the one promise for a building, so that two pages do not fetch it twice. */
function keepOnce(said) {
  const { keep: building } = said;
  if (!running.has(building)) {
    const ending = keep(said)
      .then((state) => tellAll({ building, ...state }))
      .finally(() => running.delete(building));
    running.set(building, ending);
  }
  return running.get(building);
}

async function remove(building) {
  await wish(building, "not");
  await running.get(building);
  for (const one of await caches_held()) {
    if (one.facts.id === building) await caches.delete(one.name);
  }
  await tellAll({ building, state: "not wanted" });
}

// Answers.

function day(time) {
  const two = (number) => String(number).padStart(2, "0");
  const d = new Date(time);
  const date = `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
  return `${date} ${two(d.getHours())}:${two(d.getMinutes())}`;
}

/* Return a kept page that says at its top what it is; anything else as it is. */
async function marked({ response, facts, superseded }, why) {
  const type = response.headers.get("content-type") ?? "";
  if (!type.startsWith("text/html")) return response;
  const page = await response.text();
  const revision = page.match(/<meta name="recordgen-revision" content="([^"<>]*)">/)?.[1];
  const what = revision ? `this is revision ${revision}` : "this is a kept page";
  const newer = superseded
    ? " <strong>The server has another one, which could not be fetched.</strong>"
    : "";
  const notice =
    `<aside class="rg-kept" role="note"><strong>${why}:</strong> ${what}, ` +
    `fetched ${day(facts.when)}.${newer} <a href="">Try the server again</a></aside>`;
  const place = /<article\b[^>]*>/.test(page) ? /<article\b[^>]*>/ : /<body\b[^>]*>/;
  const body = page.replace(place, (start) => start + notice);
  return new Response(body, { headers: { "content-type": type, "cache-control": "no-store" } });
}

function escaped(text) {
  return text.replace(/[&<>"]/g, (c) => `&#${c.charCodeAt(0)};`);
}

/* Return the page for what is not kept: it says so, and what is. */
async function nothingKept(path) {
  const page = await (await kept("offline.html"))?.response.text();
  if (!page) return Response.error();
  const lines = [];
  for (const { cache, facts } of await caches_held()) {
    if (facts.id === SHARED) continue;
    const count = (await cache.keys()).length - 2;
    const much = facts.complete ? `${facts.pages} pages` : `only ${count} of ${facts.total} files`;
    const link = `<a href="${escaped(address(`${facts.id}/index.html`))}">${escaped(facts.name)}</a>`;
    lines.push(`<li>${link}: ${much}, fetched ${day(facts.when)}</li>`);
  }
  const list = lines.length
    ? `<p>Kept on this device:</p><ul>${lines.join("")}</ul>`
    : "<p>No building is kept on this device.</p>";
  const body = page
    .replace("<!-- asked -->", () => `<p>Asked for: <code>${escaped(path)}</code></p>`)
    .replace("<!-- kept -->", () => list);
  return new Response(body, {
    headers: { "content-type": "text/html; charset=utf-8", "cache-control": "no-store" },
  });
}

/* Ask the server, and let it have its say however old the browser thinks its own copy is. */
function asked(request) {
  const hashed = /\.[0-9a-f]{8}\.min\.(js|css)$/.test(request.url);
  return fetch(request, hashed ? {} : { cache: "no-cache" });
}

function soon(answer) {
  const late = new Promise((resolve) => setTimeout(resolve, SERVER_MS, { late: true }));
  const said = answer.then((response) => ({ response }), (error) => ({ error }));
  return Promise.race([said, late]);
}

async function page(event, path) {
  const answer = asked(event.request);
  const { response, late } = await soon(answer);
  if (response && response.status < 500) return response;
  const found = (await kept(path)) ?? (await kept(`${path}.html`));
  if (found) {
    shown.add(event.resultingClientId);
    const why = response ? `The server answered ${response.status}` : "Without connection";
    return marked(found, late ? "The server did not answer in time" : why);
  }
  return response ?? answer.catch(() => nothingKept(path));
}

/* Return a script, style or data: of one kind with its page, kept or from the server. */
async function part(event, path) {
  if (shown.has(event.clientId)) {
    const found = await kept(path);
    if (found) return found.response;
  }
  const answer = asked(event.request);
  const { response } = await soon(answer);
  if (response && response.status < 500) return response;
  const found = await kept(path);
  if (!found) return response ?? answer;
  if (found.facts.id !== SHARED && !shown.has(event.clientId)) {
    const client = await self.clients.get(event.clientId);
    client?.postMessage({ lost: day(found.facts.when) });
  }
  return found.response;
}

// Events.

async function install() {
  const { digest, files } = SITE;
  try {
    await fill(SHARED, { digest, files, when: Date.now(), about: {} }, () => {});
  } catch (error) {
    await tellAll({ state: "failed", reason: error.message });
    throw error;
  }
  await self.skipWaiting();
}

async function activate() {
  for (const { name, facts } of await caches_held()) {
    const gone = facts.id !== SHARED && !(facts.id in SITE.buildings);
    if (gone) await caches.delete(name);
  }
  await self.clients.claim();
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  const said = event.data;
  if (said.keep) event.waitUntil(keepOnce(said));
  if (said.remove) event.waitUntil(remove(said.remove));
});
self.addEventListener("fetch", (event) => {
  const path = pathOf(event.request.url);
  if (event.request.method !== "GET" || path === null) return;
  if (path === "sw.js" || path.endsWith("/offline.json")) return;
  const navigates = event.request.mode === "navigate";
  event.respondWith(navigates ? page(event, path) : part(event, path));
});
