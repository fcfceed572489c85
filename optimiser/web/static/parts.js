// Small parts that all others use: elements, requests, figures as they are told.

// Signs that turn the order of a line round are spelt out, so that no name moves the figures beside it.
const TURNS = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;
export const spelt = (words) => words.replace(TURNS, (one) => `<U+${one.codePointAt(0).toString(16).toUpperCase().padStart(4, '0')}>`);
export const name = (words) => h('bdi', {}, words);
// Words written from the right stand by themselves inside a sentence, so that they move no figure beside them.
const R = '[\u0590-\u08ff\u200c\u200d\ufb1d-\ufdff\ufe70-\ufefc\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]';
const RIGHTWARD = new RegExp(`(${R}(?:[^\\p{L}\\p{N}.,:;]*${R})*)`, 'u');
const apart = (words) => words.split(RIGHTWARD).map((one, place) => (place % 2 ? h('bdi', {}, one) : one));
const shown = (inside, whole) => inside.flat(Infinity).filter((one) => one !== null && one !== undefined && one !== false && one !== '').flatMap((one) => (typeof one !== 'string' ? one : whole || !RIGHTWARD.test(one) ? spelt(one) : apart(spelt(one))));

export function h(tag, props, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(props || {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith('on')) made.addEventListener(name.slice(2), value);
    else if (name === 'at') made.style.setProperty('--f', value);
    else if (name in made && name !== 'list' && name !== 'form') made[name] = value;
    else made.setAttribute(name, value === true ? '' : value);
  }
  made.append(...shown(inside, tag === 'bdi' || tag === 'option'));
  return made;
}

export const byId = (id) => document.getElementById(id);

// What is drawn anew keeps what was unfolded in it, and the focus on the part of the same name; where that is gone, on the card around it.
export function put(id, ...inside) {
  const place = byId(id);
  const open = [...place.querySelectorAll('details[open] > summary')].map((one) => one.textContent);
  const had = place.contains(document.activeElement) ? document.activeElement : null;
  place.replaceChildren(...shown(inside));
  for (const one of place.querySelectorAll('details')) if (open.includes(one.firstChild.textContent)) one.open = true;
  if (!had) return;
  const called = (one) => one.id || one.getAttribute('aria-label') || one.textContent;
  const again = [...place.querySelectorAll(had.tagName)].find((one) => called(one) === called(had));
  const around = place.closest('section[tabindex]');
  (again || (around && !around.hidden ? around : byId('wall'))).focus({ preventScroll: !again });
}


// What is in hand stays where it is in the window, whatever grows or goes above it; where nothing is, the first part in sight.
export function steady(work) {
  const moving = matchMedia('(max-width: 899px)').matches ? '.slat, .card:not(.lye)' : '.slat, .left .card';
  const isSeen = (one) => one.getClientRects().length && one.getBoundingClientRect().bottom > 0;
  const inHand = document.activeElement && document.activeElement.closest(moving);
  const seen = inHand || [...document.querySelectorAll(moving)].filter(isSeen).sort((one, other) => one.getBoundingClientRect().top - other.getBoundingClientRect().top).find((one) => one.getBoundingClientRect().top >= 0);
  const top = () => { const one = seen && byId(seen.id); return one && one.getClientRects().length ? one.getBoundingClientRect().top : null; };
  const before = scrollY > 0 ? top() : null;
  work();
  const after = before === null ? null : top();
  if (after !== null && Math.abs(after - before) > 1) scrollBy({ top: after - before, behavior: 'instant' });
}

const windowName = Math.random().toString(36).slice(2);
let token = sessionStorage.getItem('token');
export const setToken = (value) => { token = value; sessionStorage.setItem('token', value); };
export const tokenNow = () => token;

export class Gone extends Error {}
export class Locked extends Error {}

export async function post(path, body, signal) {
  let reply;
  try {
    reply = await fetch('/api/' + path, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-barwright-token': token || '', 'x-barwright-window': windowName },
      body: JSON.stringify(body), signal, credentials: 'omit', cache: 'no-store',
    });
  } catch (error) {
    if (error.name === 'AbortError') throw error;
    throw new Gone();
  }
  if (reply.status === 401) throw new Locked();
  let told;
  try { told = await reply.json(); } catch { told = { status: 'refused', why: 'that was not answered' }; }
  told.code = reply.status;
  return told;
}

export const decimals = (step) => Math.max(0, Math.min(4, Math.ceil(-Math.log10(step) - 1e-9)));
export const told = (value, places) => (value === null || value === undefined ? '–' : Number(value).toFixed(places));
export const unitAfter = (unit) => (unit === 'index' || unit === '' ? '' : ' ' + unit);
export const plain = (value) => String(Number(value.toFixed(6)));
export const gramsTold = (value) => (value >= 100 ? value.toFixed(0) : value.toFixed(1)) + ' g';
export const toWeigh = (value) => plain(Number(value)) + ' g';
export const money = (value, currency) => (value === null || value === undefined ? '–' : value.toFixed(2) + ' ' + currency);

export function button(words, act, props) {
  return h('button', { type: 'button', onclick: act, ...props }, ...[words].flat(3));
}
