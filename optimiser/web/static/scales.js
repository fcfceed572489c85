// Scales: a ruler for each figure, its room shaded, the blend's value, and a stop for each limit of the maker's own.

import { byId, button, decimals, h, name, plain, told, unitAfter } from './parts.js';

const SIDES = { at_least: 'at least', at_most: 'at most', exactly: 'exactly' };
const SETTLE = 450;
const rulers = new Map();
const drawn = new Map();
let held = null;
let putOff = false;

export const isHeld = () => held !== null;

// How long a ruler is: its natural span, made longer for what is told and for room; it never shrinks, so that nothing jumps under a hand.
function rulerOf(scale, room) {
  const known = rulers.get(scale.id) || { low: Infinity, high: -Infinity };
  const ends = [scale.now, ...scale.handles.map((one) => one.value), scale.low];
  if (scale.id === 'cost') ends.push(Math.max(...ends.filter((one) => one !== null), 0.01) * 2);
  else ends.push(scale.high, ...(room ? [room[0] < 0 ? null : room[0], room[1]] : []));
  const there = ends.filter((one) => one !== null && one !== undefined && Number.isFinite(one));
  const low = Math.min(known.low, ...there);
  const high = Math.max(known.high, ...there);
  const step = scale.step;
  const tidy = (value) => Number(plain(value * step));
  const made = { low: tidy(Math.floor(low / step + 1e-9)), high: tidy(Math.ceil(high / step - 1e-9)) };
  if (made.high - made.low < step * 4) made.high = made.low + step * 4;
  rulers.set(scale.id, made);
  return made;
}

const part = (ruler, value) => Math.max(0, Math.min(1, (value - ruler.low) / (ruler.high - ruler.low)));

// While a stop is held nothing is built anew, for that would take it out of the hand: what stands there is told its new figures.
function tellAnew(doc, rooms) {
  putOff = true;
  for (const scale of doc.scales) {
    const parts = drawn.get(scale.id);
    if (!parts) continue;
    parts.scale = scale;
    showNow(parts, scale.now, doc.blend ? doc.blend.measures[scale.id] : null);
    showRoom(parts, rooms && rooms.rooms[scale.id]);
    for (const one of scale.handles) {
      if (one.id === held) continue;
      for (const input of document.querySelectorAll(`input[data-wish="${CSS.escape(one.id)}"]`)) if (input !== document.activeElement) input.value = plain(one.value);
    }
  }
}

export function drawScales(doc, rooms, act) {
  if (held !== null) { tellAnew(doc, rooms); return; }
  putOff = false;
  const groups = [
    ['What the bar is like', (one) => one.section === 'goals' && one.unit === 'index'],
    ['Alkali, water and acids', (one) => one.section === 'goals' && one.unit !== 'index' && one.id !== 'cost'],
    ['Money', (one) => one.id === 'cost'],
    ['What is in it', (one) => one.section !== 'goals'],
  ];
  const focus = document.activeElement && document.activeElement.dataset ? document.activeElement.dataset.keep : null;
  drawn.clear();
  const made = groups.map(([words, belongs]) => {
    const inside = doc.scales.filter(belongs).map((one) => scaleCard(one, doc, rooms, act));
    return inside.length ? h('section', { className: 'rack' }, h('h3', {}, words), h('div', { className: 'slats' }, inside)) : null;
  });
  byId('scales').replaceChildren(...made.filter(Boolean));
  if (focus) { const again = document.querySelector(`[data-keep="${CSS.escape(focus)}"]`); if (again) again.focus(); }
}

function scaleCard(scale, doc, rooms, act) {
  const room = rooms && rooms.rooms[scale.id];
  const ruler = rulerOf(scale, room);
  const places = decimals(scale.step);
  const id = 'scale-' + scale.id.replace(/[^\w-]/g, '_');
  const parts = { scale, ruler, places, now: null, room: null, value: null, roomWords: null };
  parts.value = h('output', { className: 'now-value' });
  parts.room = h('span', { className: 'room', 'aria-hidden': 'true' });
  parts.now = h('span', { className: 'now', 'aria-hidden': 'true' });
  parts.roomWords = h('span', { className: 'room-words' });
  const marks = scale.marks.map((one) => h('span', { className: 'mark-' + one.side + ' mark', at: part(ruler, one.value), title: one.says, 'aria-hidden': 'true' }));
  const stops = scale.handles.map((one) => stop(one, scale, ruler, places, act));
  const track = h('div', { className: 'track' + (scale.handles.length ? '' : ' bare') }, parts.room, marks, parts.now, stops);
  const free = ['at_least', 'at_most'].filter((side) => !scale.handles.some((one) => one.side === side || one.side === 'exactly'));
  const boxes = scale.handles.map((one) => box(one, scale, places, act));
  const adds = free.map((side) => button('+ ' + SIDES[side], () => act.addLimit(scale, side, ruler), { className: 'small', 'aria-label': `Ask for ${scale.words} ${SIDES[side]} so much` }));
  const why = button('why', () => act.why(scale), { className: 'small why', 'aria-label': `Why, and how sure: ${scale.words}` });
  const card = h('div', { className: 'slat', id, role: 'group', 'aria-label': scale.words },
    h('div', { className: 'head' }, h('h4', {}, name(scale.words)), parts.value, why),
    track,
    h('div', { className: 'ends' }, h('span', {}, told(ruler.low, places)), parts.roomWords, h('span', {}, told(ruler.high, places) + unitAfter(scale.unit))),
    h('div', { className: 'row' }, boxes, adds));
  drawn.set(scale.id, parts);
  showNow(parts, scale.now, doc.blend ? doc.blend.measures[scale.id] : null);
  showRoom(parts, room);
  if (rooms && rooms.waited && !room) parts.roomWords.textContent = 'room: being worked out';
  return card;
}

function showNow(parts, value, measure) {
  const { scale, places, ruler } = parts;
  parts.now.hidden = value === null || value === undefined;
  if (!parts.now.hidden) parts.now.style.setProperty('--f', part(ruler, value));
  const sure = scale.unsure.startsWith('+/-') ? ' ±' + scale.unsure.slice(3) : '';
  const band = measure && measure.band ? ', ' + measure.band : '';
  parts.value.textContent = parts.now.hidden ? '–' : told(value, scale.unit === 'index' && scale.step >= 1 ? 1 : places) + unitAfter(scale.unit) + sure.replace(' ', ' ') + band;
}

function showRoom(parts, room) {
  const { ruler, places } = parts;
  const known = room && room[0] !== null && room[1] !== null;
  parts.room.hidden = !known;
  if (!known) { parts.roomWords.textContent = ''; return; }
  parts.room.style.setProperty('--a', part(ruler, room[0]));
  parts.room.style.setProperty('--b', part(ruler, room[1]));
  parts.roomWords.textContent = `room ${told(Math.max(room[0], Math.min(ruler.low, 0)), places)} to ${told(room[1], places)}`;
}

export function showMoved(moved, blend) {
  for (const [id, parts] of drawn) if (moved.now && id in moved.now) showNow(parts, moved.now[id], blend ? blend.measures[id] : null);
  const tight = new Set(moved.tight || []);
  for (const one of document.querySelectorAll('[data-wish]')) one.classList.toggle('tight', tight.has(one.dataset.wish));
}

export function showRooms(rooms) {
  for (const [id, parts] of drawn) if (id in rooms) showRoom(parts, rooms[id]);
}

// One limit as a stop on the ruler: a native range, so that a mouse, a finger and the arrows all move it.
function stop(handle, scale, ruler, places, act) {
  const made = h('input', {
    type: 'range', className: 'stop ' + handle.side, min: ruler.low, max: ruler.high, step: 'any', value: handle.value,
    'aria-label': `${scale.words} ${SIDES[handle.side]}`, 'data-wish': handle.id, 'data-keep': 'stop ' + handle.id,
  });
  const words = (value) => `${SIDES[handle.side]} ${told(value, places)}${unitAfter(scale.unit)}`;
  made.setAttribute('aria-valuetext', words(handle.value));
  let timer = null;
  let asked = handle.value;
  const snap = (value) => Number(plain(Math.round(value / scale.step) * scale.step));
  const hold = () => { held = handle.id; };
  const release = () => { if (held === handle.id) held = null; };
  const letGo = () => setTimeout(() => { if (held !== handle.id || timer !== null) return; release(); if (putOff) act.rest(); });
  const move = (value) => {
    hold();
    asked = Math.max(ruler.low, Math.min(ruler.high, value));
    made.setAttribute('aria-valuetext', words(asked));
    const other = document.querySelector(`input[type=number][data-wish="${CSS.escape(handle.id)}"]`);
    if (other) other.value = plain(asked);
    act.drag(handle, asked);
  };
  const commit = () => { clearTimeout(timer); timer = null; release(); if (asked === handle.value) act.rest(); else act.setLimit(handle, scale, asked); };
  made.addEventListener('input', () => move(snap(Number(made.value))));
  made.addEventListener('change', commit);
  made.addEventListener('pointerdown', hold);
  for (const end of ['pointerup', 'pointercancel', 'lostpointercapture']) made.addEventListener(end, letGo);
  made.addEventListener('blur', () => { if (timer !== null) commit(); else letGo(); });
  made.addEventListener('keydown', (event) => {
    const steps = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    const end = { Home: ruler.low, End: ruler.high }[event.key];
    if (steps === undefined && end === undefined) return;
    event.preventDefault();
    move(end === undefined ? snap(asked + steps * scale.step) : end);
    made.value = asked;
    clearTimeout(timer);
    timer = setTimeout(commit, SETTLE);
  });
  return made;
}

function box(handle, scale, places, act) {
  const input = h('input', {
    type: 'number', step: scale.step, value: plain(handle.value), 'aria-label': `${scale.words} ${SIDES[handle.side]}, as a number`,
    'data-wish': handle.id, 'data-keep': 'box ' + handle.id, inputMode: 'decimal',
  });
  input.addEventListener('change', () => { if (input.value !== '' && Number.isFinite(Number(input.value))) act.setLimit(handle, scale, Number(input.value)); });
  const drop = button('×', () => act.dropLimit(handle), { className: 'small', 'aria-label': `Drop: ${scale.words} ${SIDES[handle.side]}` });
  return h('span', { className: 'box', 'data-wish': handle.id }, h('span', { className: 'which' }, SIDES[handle.side]), input, h('span', {}, unitAfter(scale.unit)), drop);
}

