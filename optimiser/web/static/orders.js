// What it is made for: what is left out, how much, for whom, which design, what is put in, and what is wished for beyond the goals.

import { button, h, money, name, put, told, unitAfter } from './parts.js';

const SIDES = { at_least: 'at least', at_most: 'at most', exactly: 'exactly' };
const listOf = (value) => (value === undefined || value === '' ? [] : Array.isArray(value) ? value : [value]);
const tableOf = (value) => (value && typeof value === 'object' && !Array.isArray(value) ? value : {});
const spoken = (key) => key.replaceAll('_', ' ');

// What a name stands for: a figure of the bar, else a fat, a kind or a tag.
export function subjectOf(called, words) {
  const low = called.toLowerCase();
  const figure = words.figures.find((one) => one.about.toLowerCase() === low || one.name === low.replaceAll(' ', '_'));
  return figure ? { section: 'goals', key: figure.name, unit: figure.unit } : { section: 'shares', key: called, unit: '%' };
}

export function drawOrders(doc, words, edit) {
  const written = doc.written;
  const toggles = (key, names, legend) => {
    const on = new Set(listOf(written[key]).map((one) => String(one).toLowerCase()));
    return h('fieldset', {}, h('legend', {}, legend), h('div', { className: 'pegs' }, names.map((one) => h('label', { className: 'peg', title: one.about || null },
      h('input', { type: 'checkbox', id: `${key}-${one.name}`.replace(/[^\w-]/g, '_'), checked: on.has(one.name.toLowerCase()), onchange: (event) => edit([{ do: event.target.checked ? 'item' : 'item out', path: [key], value: one.name }]) }), name(one.name)))));
  };
  const here = new Set(doc.shelf.fats.flatMap((one) => one.tags));
  const tags = words.tags.filter((one) => here.has(one)).map((tag) => ({ name: tag, about: `takes out ${doc.shelf.fats.filter((one) => one.tags.includes(tag)).map((one) => one.fat).join(', ')}` }));
  put('choices',
    toggles('free_from', tags, 'Leave out'),
    howMuch(tableOf(written.batch), edit),
    howMany(tableOf(written.fats), edit),
    toggles('for', words.people, 'For whom'),
    toggles('design', words.designs, 'Design'),
    putIn(doc, edit, toggles),
    wishes(doc, words, edit),
    nearTo(written, words, edit),
    h('details', { className: 'meanings' }, h('summary', {}, 'What these words mean'), h('dl', {}, [...tags, ...words.people, ...words.designs].map((one) => [h('dt', {}, name(one.name)), h('dd', {}, one.about)]))),
    h('p', { className: 'remark' }, 'The shelf: ', name(doc.shelf.title), `, ${doc.shelf.fats.length} fats. Drop a price list (CSV) on the page to use it.`));
  const names = [...doc.shelf.fats.map((one) => one.fat), ...words.kinds, ...words.figures.map((one) => one.about)];
  put('names', ...[...new Set(names)].map((one) => h('option', { value: one })));
}

function howMuch(batch, edit) {
  const size = ['bars', 'fats', 'batter', 'mould'].find((one) => one in batch) || 'fats';
  const typed = (id, value, hint, make) => h('input', { type: 'text', id, value, placeholder: hint, onchange: (event) => event.target.value.trim() && edit([make(event.target.value.trim())]) });
  const sizeBox = (key, words, hint) => h('label', {}, words + ' ', typed('size-' + key, size === key && typeof batch[key] === 'string' ? batch[key] : '', hint, (value) => ({ do: 'size', key, value })));
  return h('fieldset', {}, h('legend', {}, 'How much'), h('div', { className: 'row' },
    sizeBox('bars', 'bars', '36'), h('label', {}, 'of ', typed('cured', batch.cured_weight || '', '100 g', (value) => ({ do: 'put', path: ['batch', 'cured_weight'], value }))),
    sizeBox('fats', 'or fats', '2.5 kg'), size === 'mould' ? h('span', {}, 'a mould, as the file has it') : ''));
}

function howMany(fats, edit) {
  const change = (event) => edit([event.target.value ? { do: 'put', path: ['fats', 'at_most'], value: String(Math.round(Number(event.target.value))) } : { do: 'out', path: ['fats', 'at_most'] }]);
  return h('fieldset', {}, h('legend', {}, 'How many fats'), h('div', { className: 'row' }, h('label', {}, 'at most ', h('input', { type: 'number', id: 'count', min: 1, max: 99, value: fats.at_most || '', onchange: change }))));
}

function nearTo(written, words, edit) {
  const now = typeof written.near === 'string' ? written.near : '';
  const recipes = words.recipes.some((one) => one.about === now) || !now ? words.recipes : [{ name: now, about: now }, ...words.recipes];
  if (!recipes.length) return null;
  return h('fieldset', {}, h('legend', {}, 'Near to a recipe'), h('select', { id: 'near', 'aria-label': 'Near to a recipe', onchange: (event) => edit([event.target.value ? { do: 'text', path: ['near'], value: event.target.value } : { do: 'out', path: ['near'] }]) },
    h('option', { value: '' }, 'to none: the cheapest'), recipes.map((one) => h('option', { value: one.about, selected: one.about === now }, one.name))));
}

// -- additives, and liquids in place of water -----------------------------------------------------------------

const amount = (value) => (typeof value === 'object' && value ? Object.entries(value).map(([side, one]) => `${SIDES[side] || spoken(side)} ${one}`).join(', ') : String(value));

function putIn(doc, edit, toggles) {
  const parts = [['additives', 'Additives', doc.shelf.additives], ['liquids', 'In place of water', doc.shelf.liquids]];
  const lines = parts.flatMap(([section]) => Object.entries(tableOf(doc.written[section])).map(([key, value]) => h('li', {}, name(spoken(key)), ': ', name(amount(value)), ' ',
    button('×', () => edit([{ do: 'out', path: [section, key] }]), { className: 'small', 'aria-label': `Put no ${spoken(key)} in` }))));
  const free = parts.map(([section, words, all]) => [section, words, all.filter((one) => !(one.name in tableOf(doc.written[section])))]).filter(([, , all]) => all.length);
  const pick = h('select', { id: 'extra', 'aria-label': 'What to put in' }, free.map(([section, words, all]) => h('optgroup', { label: words }, all.map((one) => h('option', { value: JSON.stringify([section, one.name]) }, one.name)))));
  const much = h('input', { type: 'text', id: 'extra-much', autocomplete: 'off', 'aria-describedby': 'extra-hint' });
  const hint = h('p', { className: 'remark', id: 'extra-hint' });
  const show = () => { if (pick.value) hint.textContent = hintOf(...JSON.parse(pick.value), doc); };
  pick.addEventListener('change', show);
  const putting = (event) => { event.preventDefault(); if (pick.value && much.value.trim()) edit([{ do: /^[\w.%/ ]+$/.test(much.value.trim()) ? 'put' : 'text', path: JSON.parse(pick.value), value: much.value.trim() }]); else much.focus(); };
  const form = free.length ? h('form', { className: 'row', id: 'put-in', onsubmit: putting }, pick, h('label', {}, 'how much ', much), h('button', {}, 'Put in')) : null;
  show();
  const helps = doc.shelf.additives.map((one) => ({ name: one.name, about: one.does }));
  return [h('fieldset', {}, h('legend', {}, 'Put in'), lines.length ? h('ul', { className: 'extras' }, lines) : null, form, form ? hint : h('p', { className: 'remark' }, 'The shelf has nothing else to put in.')),
    helps.length ? toggles('may_use', helps, 'May be used where it helps') : null];
}

function hintOf(section, called, doc) {
  const one = doc.shelf[section].find((item) => item.name === called);
  if (section === 'liquids') return `${one.does ? one.does + '. ' : ''}As 50 % of the water, or as 200 g.`;
  return `${one.does ? one.does + '. ' : ''}As 2 % of the fats, 30 g, or 10 g / kg of fats${one.usual_most ? `; usually at most ${told(one.usual_most, 1)} %` : ''}.`;
}

// -- wishes: met as far as everything else allows, the dearest first -------------------------------------------

function wishes(doc, words, edit) {
  const asked = Array.isArray(doc.written.prefer) ? doc.written.prefer : [];
  const lines = asked.map((one, place) => wish(tableOf(one), place, doc, edit));
  const called = h('input', { id: 'wish-name', autocomplete: 'off', spellcheck: false });
  called.setAttribute('list', 'names');
  const side = h('select', { id: 'wish-side', 'aria-label': 'At least or at most' }, ['at_least', 'at_most'].map((one) => h('option', { value: one }, SIDES[one])));
  const much = h('input', { type: 'number', id: 'wish-much', step: 'any', 'aria-label': 'How much is wished for' });
  const add = (event) => {
    event.preventDefault();
    if (!called.value.trim() || much.value === '') { (called.value.trim() ? much : called).focus(); return; }
    const { key, unit } = subjectOf(called.value.trim(), words);
    edit([{ do: 'wish', key, side: side.value, value: Number(much.value), unit }]);
  };
  return h('fieldset', {}, h('legend', {}, 'Wished for'),
    h('p', { className: 'remark' }, 'Met as far as everything else allows, the first before the next.'),
    lines.length ? h('ol', { className: 'wishes' }, lines) : null,
    h('form', { className: 'row', id: 'wish', onsubmit: add }, h('label', {}, 'figure, fat or kind ', called), side, much, h('button', {}, 'Wish for')));
}

function wish(written, place, doc, edit) {
  const found = doc.blend ? doc.blend.prefer.filter((one) => one.id.startsWith(`prefer.${place}.`)) : [];
  const said = found.length ? found.map((one) => one.says).join(', ') : Object.entries(written).map(([key, value]) => `${spoken(key)} ${amount(value)}`).join(', ');
  const state = (one) => (one.met ? `met${one.costs_per_kg >= 0.005 ? `, costs ${money(one.costs_per_kg, doc.currency)} / kg` : ''}` : `not reached: ${told(one.value, 1)}${unitAfter(one.unit)}`);
  const one = found.length === 1 && Object.keys(written).length === 1 ? found[0] : null;
  const [key] = Object.keys(written);
  const side = one ? one.id.split('.').pop() : '';
  const much = one && side in SIDES ? h('input', { type: 'number', step: 'any', id: 'wish-' + place, value: Number(one.limit.toFixed(4)), 'aria-label': `${said}, as a number`, onchange: (event) => event.target.value !== '' && edit([{ do: 'wish', place, key, side, value: Number(event.target.value), unit: one.unit }]) }) : null;
  return h('li', {}, name(said), found.length ? h('span', { className: found.every((line) => line.met) ? 'saves' : 'warn' }, ' – ', found.map(state).join('; ')) : '', ' ', much, ' ',
    place ? button('↑', () => edit([{ do: 'wish up', place }]), { className: 'small', 'aria-label': `Wish sooner for ${said}` }) : null, ' ',
    button('×', () => edit([{ do: 'wish out', place }]), { className: 'small', 'aria-label': `Wish no more for ${said}` }));
}
