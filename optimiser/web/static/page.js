// The page: one text is all there is to know; every deed changes the text, and what is shown is what the text answers.

import { Gone, Locked, byId, button, h, name, plain, post, put, setToken, spelt, steady, told, tokenNow, unitAfter } from './parts.js';
import { drawScales, isHeld, showMoved, showRooms } from './scales.js';
import { whyLine, whyScale, whySwap } from './whys.js';
import { drawOrders, subjectOf } from './orders.js';
import { alarms, drawBinding, drawBlend, drawClash, drawCompare, drawNone } from './blend.js';

const MOST_UNDO = 200;
const LOOK_EVERY = 2000;
const state = {
  text: '', beside: {}, undo: [], redo: [], stamp: '', saved: '', first: '', file: 'new-bar.yaml', isNew: true,
  doc: null, rooms: null, words: null, kept: null, others: '', offline: false, faulty: false,
};
let answering = null;
let dragging = null;
let inHand = null;
let typedOn = '';
let asked = 0;
let editing = Promise.resolve();

const sent = (more) => ({ text: state.text, beside: state.beside, ...more });

// -- what is told ---------------------------------------------------------------------------------------------

function tell(...inside) { put('state', ...inside); }

function notice(id, ...inside) {
  const old = byId('notice-' + id);
  if (!inside.length) { if (old) steady(() => old.remove()); return; }
  const made = h('div', { id: 'notice-' + id, className: 'notice' }, inside);
  steady(() => (old ? old.replaceWith(made) : byId('notices').append(made)));
}

async function safely(work) {
  try { return await work(); } catch (error) {
    if (error.name === 'AbortError') return null;
    if (error instanceof Gone) { gone(); return null; }
    if (error instanceof Locked) { locked(); return null; }
    throw error;
  }
}

function gone() {
  if (state.offline) return;
  state.offline = true;
  notice('gone', h('p', {}, h('strong', {}, 'The program does not answer.'), ' What you see is the last answer; your text is kept in this window. It is looked for every two seconds.'));
  old(true);
}

function locked() {
  notice('locked', h('p', {}, h('strong', {}, 'This window is not let in.'), ' The program was started anew, or this address was used already. Open the address that it told last, or use “Another window” in one that is open. Your text is kept here: '),
    button('Copy the text', () => navigator.clipboard.writeText(state.text)));
}

function old(is) { document.body.classList.toggle('old', is); stale(); }

function none(is) { document.body.classList.toggle('none', is); stale(); }

// Figures that are not the answer to what stands there say so in words, wherever they are shown.
function stale() {
  const has = (one) => document.body.classList.contains(one);
  const words = has('none') ? 'No blend there: these figures are of another place of the stop. Weigh nothing by them.' : has('old') ? 'As it was: not the answer to the text as it stands. Weigh nothing by it.' : '';
  const clashes = state.doc && !state.doc.blend && !state.faulty;
  byId('to-clash').hidden = !clashes;
  steady(() => { for (const id of ['stale-lye', 'stale-pot']) { byId(id).hidden = !words; put(id, words, words && clashes ? [' ', h('a', { href: '#clash' }, 'Why there is none, and ways out')] : null); } });
}

// -- text, undo, redo -----------------------------------------------------------------------------------------

function remember() {
  const kept = { text: state.text, beside: state.beside, undo: state.undo.slice(-50), redo: [], stamp: state.stamp, saved: state.saved, first: state.first, file: state.file, isNew: state.isNew, kept: state.kept };
  try { sessionStorage.setItem('desk', JSON.stringify(kept)); } catch { /* a full store loses no more than the way back after a reload */ }
}

const isTyping = () => document.activeElement === byId('text') && byId('text').value !== typedOn;
const isUnsaved = (one) => one.text !== one.saved && !(one.isNew && one.text === one.first);

// What was typed and is not taken up yet is taken up before anything else is done with the text.
function takeTyped() { if (isTyping()) { const typed = byId('text').value; typedOn = typed; change(typed); } }

function showText() {
  if (isTyping()) return;
  if (byId('text').value !== state.text) byId('text').value = state.text;
  typedOn = state.text;
}

function change(text, beside) {
  if (text === state.text && !beside) return;
  putDown(text, beside);
  answer();
}

function putDown(text, beside) {
  state.undo.push({ text: state.text, beside: state.beside });
  if (state.undo.length > MOST_UNDO) state.undo.shift();
  state.redo = [];
  state.text = text;
  if (beside) state.beside = beside;
}

// A step back waits for the edits that are on their way, so that it undoes the last of them.
function step(from, to) {
  takeTyped();
  editing = editing.then(() => stepped(from(), to()));
  return editing;
}

function stepped(from, to) {
  if (!from.length) return;
  to.push({ text: state.text, beside: state.beside });
  Object.assign(state, from.pop());
  answer();
}

// Edits are made one after another, each on the text that the one before it left.
function edit(edits, words) {
  editing = editing.then(() => make(edits, words));
  return editing;
}

async function make(edits, words) {
  takeTyped();
  if (state.faulty) { refuse({ why: 'The file has faults: mend its text first, or go back to before them. Until then nothing above it changes it.' }); if (state.doc) draw(); return; }
  const told = await safely(() => post('edit', sent({ edits })));
  if (!told) return;
  if (told.code !== 200) { refuse(told); if (state.doc) draw(); return; }
  notice('refused');
  change(told.text);
  if (words) tell(words);
}

function refuse(told) {
  if (told.status === 'overtaken') told = { why: 'The text was changed meanwhile: ask again.' };
  const words = told.why || (told.faults || []).map((one) => one.message).join('; ') || 'That could not be done.';
  notice('refused', h('p', {}, words), button('All right', () => notice('refused'), { className: 'small' }));
}

// -- the answer -----------------------------------------------------------------------------------------------

async function answer() {
  remember();
  showText();
  byId('undo').disabled = !state.undo.length;
  byId('redo').disabled = !state.redo.length;
  byId('save').textContent = state.text === state.saved ? 'Saved' : 'Save';
  if (answering) answering.abort();
  answering = new AbortController();
  const mine = ++asked;
  const signal = answering.signal;
  dragging = null;
  document.body.classList.add('busy');
  const doc = await safely(() => post('answer', sent(), signal));
  if (mine !== asked) return;
  document.body.classList.remove('busy');
  if (!doc || doc.status === 'overtaken') return;
  if (doc.status === 'refused') { refuse(doc); return; }
  old(false);
  none(false);
  document.body.classList.remove('moving');
  state.rooms = null;
  showFaults(doc);
  state.faulty = doc.status === 'bad-input';
  lock(state.faulty);
  if (state.faulty) { old(Boolean(state.doc)); tell(`${faulty(doc.faults)} has ${doc.faults.length === 1 ? 'a fault' : doc.faults.length + ' faults'}, told below with ${doc.faults.length === 1 ? 'its line' : 'their lines'}.${state.doc ? ' What you see is the last good answer.' : ''}`); return; }
  if (doc.blend) state.last = doc.blend;
  state.doc = doc;
  draw();
  old(!doc.blend && Boolean(state.last));
  const many = (count, one, more) => (count === 1 ? `one ${one}` : `${count} ${more}`);
  if (doc.blend) tell(alarms(doc.blend).map((one) => [h('strong', { className: 'warn' }, one), ' ']), name(doc.title), `: ${doc.blend.fats.length} fats, ${told(doc.blend.cost.per_kg, 2)} ${doc.currency} a kilo.`);
  else tell(`No blend meets all of this: ${many(doc.none.clashes.length, 'clash', 'clashes')}, ${many(doc.none.ways.length, 'way', 'ways')} out.`);
  if (inHand && isHeld()) act.drag(inHand.handle, inHand.value);
  const rooms = doc.blend ? await safely(() => post('rooms', sent(), signal)) : null;
  if (mine !== asked) return;
  state.rooms = { rooms: (rooms && rooms.rooms) || {} };
  if (!dragging) draw();
  document.body.dataset.settled = String(mine);
  if (state.kept) {
    const found = await safely(() => post('compare', sent({ other: state.kept.text, beside: { ...state.kept.beside, ...state.beside } }), signal));
    if (mine === asked && found) drawCompare(found, doc, act);
  } else drawCompare(null);
}

const draw = () => steady(drawn);

function drawn() {
  const doc = state.doc;
  const was = document.activeElement === byId('title');
  if (!was) byId('title').value = doc.title;
  document.title = `${spelt(doc.title)} – barwright`;
  drawScales(doc, doc.blend ? state.rooms || { rooms: {}, waited: true } : null, act);
  drawBlend(doc, doc.blend || state.last, false, act);
  drawBinding(doc, act);
  drawClash(doc, state.last, act);
  if (state.words) drawOrders(doc, state.words, edit);
  const tight = doc.blend ? doc.blend.goals.filter((one) => one.binding).map((one) => one.id) : [];
  showMoved({ tight });
}

// While the file has faults nothing but its text, undo and saving changes it: what is drawn is of another text.
function lock(is) { for (const id of ['scales', 'add', 'choices', 'blend', 'clashes']) byId(id).inert = is; byId('title').disabled = is; }

// The file that a fault is in, where that is not the goal file.
const elsewhere = (one) => { const file = (one.file || '').split(/[\\/]/).pop(); return file && file !== state.served ? file : ''; };
const faulty = (faults) => (faults.length && faults.every((one) => elsewhere(one) && elsewhere(one) === elsewhere(faults[0])) ? elsewhere(faults[0]) : 'The file');

function showFaults(doc) {
  const faults = doc.status === 'bad-input' ? doc.faults : [];
  if (!faults.length) { notice('faults'); return; }
  notice('faults', h('h2', {}, faulty(faults), ' has faults'), h('ol', { className: 'faults' }, faults.slice(0, 12).map((one) => h('li', {},
    h('p', {}, one.line ? h('strong', {}, elsewhere(one) ? [name(elsewhere(one)), ', '] : '', `line ${one.line}, column ${one.column}: `) : '', one.message),
    one.shown ? h('pre', { tabIndex: 0, 'aria-label': `line ${one.line} as written` }, `${one.shown}\n${' '.repeat(Math.max(0, one.column - 1))}${'^'.repeat(Math.max(1, (one.end_column || 0) - one.column))}`) : '',
    one.help ? h('p', {}, 'Instead: ' + one.help) : '',
    one.line && !elsewhere(one) ? button(`Go to line ${one.line}`, () => goTo(one), { className: 'small' }) : ''))), state.undo.length ? button('Back to before this', () => step(() => state.undo, () => state.redo)) : '');
}

function goTo(fault) {
  const area = byId('text');
  const lines = state.text.split('\n');
  const start = lines.slice(0, fault.line - 1).reduce((sum, line) => sum + line.length + 1, 0) + fault.column - 1;
  area.focus();
  area.setSelectionRange(start, start + Math.max(1, (fault.end_column || 0) - fault.column));
}

// -- dragging: the newest figure is always the next that is asked ---------------------------------------------

const beside = matchMedia('(min-width: 900px)'); // where the pot stands beside the rulers, it moves none of them

async function follow() {
  const mine = dragging;
  while (mine.wanted !== null && mine === dragging) {
    const { handle, value } = mine.wanted;
    mine.wanted = null;
    const moved = await safely(() => post('drag', sent({ section: handle.section, key: handle.key, side: handle.side, value })));
    if (mine !== dragging || !moved) break;
    if (moved.code !== 200) continue;
    showMoved(moved, moved.blend);
    if (document.body.classList.contains('none') === Boolean(moved.blend)) none(!moved.blend);
    document.body.classList.add('moving');
    if (moved.blend) (beside.matches ? (work) => work() : steady)(() => drawBlend(state.doc, moved.blend, moved.held, act));
    document.body.dataset.drawn = `${handle.id} ${value}`;
    mine.turn += 1;
    if (mine.wanted === null && moved.blend) roomBeside(mine, mine.turn, document.body.dataset.drawn);
  }
  mine.going = false;
}

// Room is asked for beside, so that the next figure never waits for it; a figure that comes meanwhile ends it.
async function roomBeside(mine, turn, drawn) {
  const found = await safely(() => post('drag', sent({ rooms: true })));
  if (mine !== dragging || mine.wanted !== null || mine.turn !== turn || !found || !found.rooms || !Object.keys(found.rooms).length) return;
  showRooms(found.rooms);
  document.body.classList.remove('moving');
  document.body.dataset.roomed = drawn;
}

// -- deeds ----------------------------------------------------------------------------------------------------

const act = {
  drag(handle, value) {
    inHand = { handle, value };
    if (!dragging) dragging = { wanted: null, going: false, turn: 0 };
    dragging.wanted = { handle, value };
    if (!dragging.going) { dragging.going = true; follow(); }
  },
  rest() { inHand = null; if (state.doc) { dragging = null; none(false); document.body.classList.remove('moving'); draw(); } },
  setLimit(handle, scale, value) {
    inHand = null;
    edit([{ do: 'limit', section: handle.section, key: handle.key, side: handle.side, value, unit: scale.unit }]);
  },
  dropLimit(handle) {
    edit([{ do: 'limit', section: handle.section, key: handle.key, side: handle.side, value: null }], `Dropped: ${handle.says}`);
  },
  addLimit(scale, side, ruler) {
    const at = scale.now === null ? (ruler.low + ruler.high) / 2 : scale.now;
    const value = Number(plain((side === 'at_least' ? Math.floor : Math.ceil)(at / scale.step + (side === 'at_least' ? 1e-9 : -1e-9)) * scale.step));
    edit([{ do: 'limit', section: scale.section, key: scale.id, side, value, unit: scale.unit }]);
  },
  leaveOut(fat) { edit([{ do: 'limit', section: 'shares', key: fat, side: 'at_most', value: 0, unit: '%' }], [name(fat), ' is left out.']); },
  limitFat(fat, share) { edit([{ do: 'limit', section: 'shares', key: fat, side: 'at_most', value: Math.ceil(share), unit: '%' }], ['There is a scale for ', name(fat), ' now.']); },
  takeWay(way) { edit(way.edits, 'That way is taken.'); },
  letGo() { state.kept = null; drawCompare(null); remember(); },
  async recipe() {
    const found = await safely(() => post('recipe', sent()));
    if (!found) return;
    if (!found.text) { refuse(found); return; }
    const address = URL.createObjectURL(new Blob([found.text], { type: 'text/yaml' }));
    h('a', { href: address, download: state.file.replace(/\.ya?ml$/i, '') + '-recipe.yaml' }).click();
    URL.revokeObjectURL(address);
  },
  why: whyScale,
  whyLine,
  async swap(fat) {
    const before = byId('state').textContent;
    tell('Looking for what could stand in for ', name(fat), '…');
    const waiting = byId('state').textContent;
    const found = await safely(() => post('swap', sent({ out: fat })));
    if (byId('state').textContent === waiting) tell(before);
    if (!found) return;
    if (!found.answers) { refuse(found); return; }
    whySwap(fat, found.answers, (comes) => edit([{ do: 'limit', section: 'shares', key: fat, side: 'at_most', value: 0, unit: '%' },
      ...comes.map((line) => ({ do: 'limit', section: 'shares', key: line.fat, side: 'at_least', value: Math.floor(line.to), unit: '%' }))], [name(fat), ' is left out.']));
  },
};

// -- another figure, fat or kind of fat -----------------------------------------------------------------------

function add(event) {
  event.preventDefault();
  const side = event.submitter ? event.submitter.dataset.side : 'at_least';
  const called = byId('add-name').value.trim();
  if (!called || !state.words || !state.doc) return;
  const low = called.toLowerCase();
  const known = state.doc.scales.find((one) => one.words.toLowerCase() === low || one.id === low);
  const { section, key, unit } = subjectOf(called, state.words);
  byId('add-name').value = '';
  if (known) act.addLimit(known, side, { low: known.low, high: known.high });
  else if (section === 'goals') edit([{ do: 'limit', section, key, side, value: side === 'at_least' ? 0 : 100, unit }]);
  else edit([{ do: 'limit', section, key, side, value: side === 'at_least' ? 5 : 30, unit }]);
}

// -- files ----------------------------------------------------------------------------------------------------

async function save() {
  takeTyped();
  await editing;
  const called = byId('file').value.trim();
  const text = state.text;
  const told = await safely(() => post('save', sent({ name: called, stamp: called === state.file ? state.stamp : '' })));
  if (!told) return;
  if (told.status === 'changed') {
    const same = called === state.file;
    notice('changed', h('p', {}, h('strong', {}, `${called} ${same ? 'was changed elsewhere' : 'is there already'}.`), ' Nothing was written.'),
      button('Take what lies there', () => { notice('changed'); state.stamp = told.stamp; state.file = called; state.saved = told.text; state.isNew = false; change(told.text); }),
      button('Write mine over it', () => { notice('changed'); state.stamp = told.stamp; state.file = called; save(); }),
      button('Neither', () => notice('changed')));
    return;
  }
  if (told.code !== 200) { refuse(told); return; }
  notice('changed'); notice('refused');
  Object.assign(state, { stamp: told.stamp, saved: text, file: told.name, isNew: false });
  byId('save').textContent = state.text === text ? 'Saved' : 'Save';
  remember();
  tell(`Written: ${told.name}`);
}

async function look() {
  if (!tokenNow()) return;
  let told;
  try { told = await post('look', { name: state.file }); } catch (error) {
    if (error instanceof Gone) gone();
    if (error instanceof Locked) { notice('gone'); state.offline = false; locked(); }
    return;
  }
  if (state.offline) { state.offline = false; notice('gone'); answer(); }
  if (told.code !== 200) return;
  if (state.others && told.others !== state.others && !dragging) { const before = asked; takeTyped(); if (asked === before) answer(); }
  state.others = told.others;
  if (!state.isNew && told.stamp && told.stamp !== state.stamp && !byId('notice-changed')) changedElsewhere(told.stamp);
}

async function changedElsewhere(stamp) {
  const there = await safely(() => post('text', { name: state.file }));
  if (!there || there.code !== 200) return;
  const take = () => { notice('changed'); Object.assign(state, { stamp: there.stamp, saved: there.text }); change(there.text); };
  notice('changed', h('p', {}, h('strong', {}, `${state.file} was changed elsewhere.`), ' What you have here is kept until you say.'),
    button('Take what lies there', take), button('Keep mine', () => { notice('changed'); state.stamp = stamp; state.saved = ''; byId('save').textContent = 'Save'; }));
}

// A name that every disk and every program takes: letters lose their marks, others become dashes, and it begins with a letter or figure.
function plainName(words) {
  const end = (words.match(/\.[A-Za-z]+$/) || [''])[0];
  const stem = words.slice(0, words.length - end.length).normalize('NFKD').replace(/[\u0300-\u036f]/g, '').replace(/[^\w .()-]+/g, '-').replace(/^[^A-Za-z0-9]+|[- .]+$/g, '').slice(0, 100);
  return (stem || 'price-list') + end;
}

async function take(file) {
  takeTyped();
  if (!file) return;
  if (file.size > 300000) { refuse({ why: `${file.name} is larger than a price list is.` }); return; }
  const content = (await file.text()).replace(/^\uFEFF/, '');
  let called = plainName(file.name);
  const isList = /\.csv$/i.test(called) || /^\s*-\s*\{?fat:/m.test(content);
  if (!isList) { change(content.replaceAll('\r\n', '\n')); tell(`${file.name} is read; undo goes back.`); return; }
  const there = state.kept ? state.kept.beside : {};
  for (let number = 2; (there[called] === undefined ? content : there[called]) !== content; number++) called = plainName(file.name).replace(/(\.[a-z]+)$/i, `-${number}$1`); // the kept blend keeps its prices
  const edits = [{ do: 'text', path: ['shelf'], value: called }];
  const beside = { [called]: content };
  const told = await safely(() => post('edit', { text: state.text, beside, edits }));
  if (!told) return;
  if (told.code !== 200) { refuse(told); return; }
  change(told.text, beside);
  tell(`${file.name} is the shelf now; it is written beside the goal file when you save.`);
}

// -- begin ----------------------------------------------------------------------------------------------------

const ONCE = /^#[\w-]{40,}$/;
let looking = null;
let unreadable = '';

function deskKept(where) { try { return JSON.parse(sessionStorage.getItem(where)); } catch { return null; } }

async function begin() {
  if (!state.text) drawNone();
  const once = ONCE.test(location.hash) ? location.hash.slice(1) : '';
  if (once) history.replaceState(null, '', '/');
  const told = await safely(() => post('begin', once ? { once } : { token: tokenNow() || '' }));
  const kept = deskKept('desk');
  if (!told) {
    if (!state.text && kept) { Object.assign(state, kept); showText(); byId('file').value = state.file; }
    tell('There is no way in yet.');
    return;
  }
  if (told.token) setToken(told.token);
  notice('locked'); notice('gone');
  state.offline = false;
  if (told.code === 422) { unread(told); return; }
  state.served = told.file;
  takeUp({ text: told.text, beside: told.beside, stamp: told.stamp, saved: told.is_new ? '' : told.text, first: told.text, file: told.file, isNew: told.is_new, kept: null }, once, kept);
  byId('file').value = state.file;
  state.words = await safely(() => post('words', {}));
  answer();
  if (looking === null) looking = setInterval(look, LOOK_EVERY);
}

// A file that cannot be read as text is told once and looked for until it can.
function unread(told) {
  const faults = JSON.stringify(told.faults);
  if (faults !== unreadable) { showFaults(told); tell('The file cannot be read: it is looked at again every two seconds.'); }
  unreadable = faults;
  setTimeout(begin, LOOK_EVERY);
}

// A text in this window stays; one kept from before the address was opened anew is offered; else the file is taken up.
function takeUp(fresh, once, kept) {
  takeTyped();
  if (state.text && isUnsaved(state)) return;
  if (!state.text && kept && !once) { Object.assign(state, kept); return; }
  Object.assign(state, fresh);
  const before = kept && isUnsaved(kept) ? kept : deskKept('before');
  if (!before || before.text === fresh.text) return;
  sessionStorage.setItem('before', JSON.stringify(before));
  const done = () => { sessionStorage.removeItem('before'); notice('before'); };
  notice('before', h('p', {}, h('strong', {}, 'A text that was not saved is kept in this window'), `, of ${before.file}.`),
    button('Bring it back', () => { done(); change(before.text, { ...state.beside, ...before.beside }); }), button('Let it go', done));
}

byId('undo').addEventListener('click', () => step(() => state.undo, () => state.redo));
byId('redo').addEventListener('click', () => step(() => state.redo, () => state.undo));
byId('save').addEventListener('click', save);
byId('keep').addEventListener('click', () => { if (state.doc && state.doc.blend && !state.faulty) { state.kept = { text: state.text, beside: state.beside }; tell('Kept. Change something, and the two stand side by side.'); answer(); } });
byId('sheet').addEventListener('click', async () => {
  tell('The making sheet is being laid out…');
  const found = await safely(() => post('sheet', sent()));
  if (!found) return;
  if (!found.address) { refuse(found); tell('No making sheet was laid out.'); return; }
  tell('The making sheet is open in another window: print it there.');
  window.open(found.address, '_blank', 'noopener');
});
byId('window').addEventListener('click', async () => { const told = await safely(() => post('window', {})); if (told && told.once) window.open('/#' + told.once, '_blank', 'noopener'); });
byId('add').addEventListener('submit', add);
byId('title').addEventListener('change', (event) => edit([{ do: 'text', path: ['title'], value: event.target.value.trim() || 'A bar' }]));
byId('text').addEventListener('change', (event) => { typedOn = event.target.value; change(typedOn); });
byId('list').addEventListener('change', (event) => take(event.target.files[0]));
document.addEventListener('dragover', (event) => { if (event.dataTransfer && [...event.dataTransfer.types].includes('Files')) { event.preventDefault(); document.body.classList.add('dropping'); } });
document.addEventListener('dragleave', () => document.body.classList.remove('dropping'));
document.addEventListener('drop', (event) => { document.body.classList.remove('dropping'); if (event.dataTransfer.files.length) { event.preventDefault(); take(event.dataTransfer.files[0]); } });
document.addEventListener('keydown', (event) => {
  if (!(event.ctrlKey || event.metaKey)) return;
  const key = event.key.toLowerCase();
  const writing = ['TEXTAREA'].includes(event.target.tagName) || (event.target.tagName === 'INPUT' && ['text', 'number'].includes(event.target.type));
  if (key === 's') { event.preventDefault(); save(); }
  else if (!writing && key === 'z' && !event.shiftKey) { event.preventDefault(); step(() => state.undo, () => state.redo); }
  else if (!writing && (key === 'y' || (key === 'z' && event.shiftKey))) { event.preventDefault(); step(() => state.redo, () => state.undo); }
});
window.addEventListener('beforeunload', (event) => { if (isTyping() || (state.text && isUnsaved(state))) event.preventDefault(); });
window.addEventListener('pagehide', () => { if (isTyping()) { putDown(byId('text').value); remember(); } });
window.addEventListener('hashchange', () => { if (ONCE.test(location.hash)) begin(); });

// What stands at the edges of the window takes room from what is scrolled to: how much is told to the style.
function edges() {
  const narrow = matchMedia('(max-width: 899px)').matches;
  const top = byId(narrow ? 'ways-to' : 'top');
  const set = (key, value) => document.documentElement.style.setProperty(key, `${value}px`);
  set('--top', getComputedStyle(top).position === 'sticky' ? top.offsetHeight : 0);
  set('--foot', narrow ? byId('lye').offsetHeight : 0);
}
const watching = new ResizeObserver(edges);
for (const one of ['top', 'ways-to', 'lye']) watching.observe(byId(one));
window.addEventListener('resize', edges);
// On paper nothing can be unfolded: cautions stand there whole.
window.addEventListener('beforeprint', () => { for (const one of document.querySelectorAll('.cautions')) one.open = true; });
begin();
