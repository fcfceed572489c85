// The pot, the lye, what holds a blend back, why there is none, and two blends side by side.

import { whyCost, whyFat } from './whys.js';
import { byId, button, gramsTold, h, money, name, put, told, toWeigh, unitAfter } from './parts.js';

export function drawBlend(doc, blend, held, act) {
  if (!blend) { drawNone(); return; }
  const most = Math.max(...blend.fats.map((one) => one.share), 1);
  const rows = blend.fats.map((one) => h('li', {},
    h('span', { className: 'bar' + (held ? ' held' : ''), at: one.share / most, 'aria-hidden': 'true' }),
    h('span', { className: 'fat' }, name(one.fat), h('small', {}, ' ' + one.kind)),
    h('span', { className: 'share' }, told(one.share, 1) + ' %'),
    h('span', { className: 'grams' }, toWeigh(one.to_weigh_g)),
    h('span', { className: 'price' }, money(one.cost, doc.currency)),
    h('span', { className: 'deeds' },
      button('leave out', () => act.leaveOut(one.fat), { className: 'small', 'aria-label': `Leave ${one.fat} out` }),
      button('limit', () => act.limitFat(one.fat, one.share), { className: 'small', 'aria-label': `Set a limit on ${one.fat}` }),
      button('swap', () => act.swap(one.fat), { className: 'small', 'aria-label': `What else in place of ${one.fat}` }),
      button('why', () => whyFat(one, doc, blend), { className: 'small why', 'aria-label': `Why so much ${one.fat}, and its figures` }))));
  const extras = [...blend.additives.map((one) => [one.additive, one]), ...blend.liquids.map((one) => [one.liquid, one])].map(([words, one]) =>
    h('li', {}, h('span', { className: 'fat' }, name(words)), h('span', { className: 'grams' }, toWeigh(one.to_weigh_g)), h('span', { className: 'price' }, money(one.cost, doc.currency))));
  const cost = blend.cost;
  put('blend',
    alarm(blend),
    held ? h('p', { className: 'remark' }, 'Fats are counted: while you drag, the same fats are kept (dashed). Let go, and the choice is made anew.') : null,
    h('ul', { className: 'fats' + (held ? ' held' : ''), 'aria-label': 'Fats to weigh' }, rows, extras),
    h('p', { className: 'cost' }, h('strong', {}, money(cost.per_kg, doc.currency) + ' / kg'), ` of cured bar, ${money(cost.per_bar, doc.currency)} a bar of ${gramsTold(cost.bar_g)}, ${money(cost.batch, doc.currency)} for ${told(cost.bars, Number.isInteger(cost.bars) ? 0 : 1)} bars `, button('why', () => whyCost(doc, blend), { className: 'small why', 'aria-label': 'Why it costs so much' })),
    blend.proof && blend.proof.exact && blend.goals.length ? h('p', { className: 'remark' }, `Proved: no blend on this shelf that meets these goals is cheaper${blend.proof.gap ? ` by more than ${told(100 * blend.proof.gap, 2)} %` : ''}.`) : null,
    held ? null : button('The recipe as a file', act.recipe, { className: 'small' }),
    near(blend.near), far(blend),
    blend.notes.length ? h('details', {}, h('summary', {}, 'What else there is to know'), h('ul', {}, blend.notes.map((one) => h('li', {}, one)))) : null,
    blend.unused.length ? h('details', {}, h('summary', {}, 'Left on the shelf, and when each would come in'), h('ul', {}, blend.unused.map((one) => h('li', {}, name(one.fat), ': ', enters(one, doc.currency))))) : null);
  drawLye(blend);
}

export function drawNone() {
  put('blend', h('p', {}, 'There is no blend yet.'));
  put('alkali', standing([]));
}

function enters(one, currency) {
  if (one.enters === 'barred') return one.barred_by || 'left out';
  if (one.enters === 'never') return 'at no price';
  if (one.enters_below === null) return 'not known';
  return `${one.enters} ${money(one.enters_below, currency)} / kg (now ${money(one.price, currency)})`;
}

function near(found) {
  if (!found) return null;
  return h('p', {}, `${told(found.moved, 1)} % of the fats of `, name(found.title), ' are changed: ', found.changed.map((one, place) => [place ? ', ' : '', name(one.fat), ` ${told(one.from, 1)} to ${told(one.to, 1)} %`]), '.');
}

function far(blend) {
  const given = blend.stood_aside.map((one) => `${one.says || one.rule}: ${one.why || ''}`);
  return given.length ? h('ul', { className: 'warn', 'aria-label': 'Rules that gave way' }, given.map((one) => h('li', {}, one))) : null;
}

const POUR = 'On paper alone: nobody would pour this blend. Too many rules of the house had to give way.';
const alarm = (blend) => (blend.far_off.length ? h('p', { className: 'alarm' }, POUR) : null);

// Of the cautions those in capitals come first; then what alkali does to whoever handles it, which is never missing.
const isLoud = (one) => /^[A-Z][A-Z -]+:/.test(one);
export const alarms = (blend) => [...(blend.far_off.length ? ['On paper alone: nobody would pour this blend.'] : []), ...blend.cautions.filter(isLoud).map((one) => `${one.split(':')[0]}: see the cautions.`)];

// On a small screen the cautions that always stand are told in few words; all of them, whole, are one click away.
const BRIEFLY = 'Alkali burns skin and blinds (H314): goggles, gloves, long sleeves; alkali into water, never water onto alkali.';

function standing(cautions) {
  const loud = cautions.filter(isLoud);
  const burns = cautions.find((one) => !loud.includes(one) && one.includes('(H314)')) || 'Sodium and potassium hydroxide burn skin and blind (H314): goggles, gloves, long sleeves; alkali into water, never water onto alkali.';
  const others = cautions.filter((one) => !loud.includes(one) && one !== burns);
  const both = (brief, fully) => [h('span', { className: 'brief' }, brief), h('span', { className: 'fully' }, fully)];
  return [
    h('div', { className: 'burns' }, loud.map((one) => h('p', { className: 'warn' }, both(`${one.split(':')[0]}: see all cautions.`, one))), h('p', {}, both(BRIEFLY, burns))),
    h('p', { className: 'defers' }, both('Safety data sheet, local rules and licensed practice come first.', 'The supplier’s safety data sheet, the rules where you live and licensed practice come before anything shown here.')),
    others.length ? h('details', { className: 'cautions' }, h('summary', {}, 'All cautions, and first aid'), h('ul', {}, [...loud, burns].map((one) => h('li', { className: 'brief' }, one)), others.map((one) => h('li', {}, one)))) : null,
  ];
}

function drawLye(blend) {
  const alkali = blend.alkali, water = blend.water;
  const line = (words, grams) => (grams ? h('li', {}, h('span', {}, words), h('strong', {}, toWeigh(grams))) : null);
  const heat = water.lye_temperature_degC;
  put('alkali',
    alarm(blend),
    h('ul', { className: 'weigh', 'aria-label': 'Alkali and water to weigh' },
      line('Sodium hydroxide', alkali.sodium_hydroxide_to_weigh_g), line('Potassium hydroxide', alkali.potassium_hydroxide_to_weigh_g), line('Water', water.to_weigh_g)),
    standing(blend.cautions),
    h('details', { className: 'more' }, h('summary', {}, 'Why so much'), h('ul', {}, whyLye(blend).map((one) => h('li', {}, one)))),
    h('p', { className: 'remark more' }, `Superfat ${told(alkali.superfat, 1)} %, likely ${told(alkali.likely_superfat, 1)} % or more; lye of ${told(water.lye_concentration, 1)} %, up to ${told(heat.high, 0)} °C hot.`));
}

const BASIS = { told: 'as your shelf tells', grade: 'taken by its grade', assumed: 'assumed: your shelf tells none' };

function whyLye(blend) {
  const alkali = blend.alkali, water = blend.water;
  const lines = ['sodium', 'potassium'].filter((one) => alkali[one + '_hydroxide_g']).map((one) =>
    `${one} hydroxide: ${gramsTold(alkali[one + '_hydroxide_pure_g'])} pure, of ${told(alkali[one + '_hydroxide_purity'], 1)} % purity (${BASIS[alkali[one + '_hydroxide_purity_basis']] || 'as told'}), rounded down to what the balance reads`);
  return [...lines,
    `the saponification values of the fats, with ${told(alkali.superfat, 1)} % of what they could take left out (superfat); at their lowest, all at once, ${told(alkali.superfat_worst_case, 1)} % would be left`,
    `as ordinary lots stray, ${told(alkali.likely_superfat, 1)} % or more of superfat is left in 95 of 100`,
    `the lye may reach ${told(water.lye_temperature_degC.low, 0)} to ${told(water.lye_temperature_degC.high, 0)} °C`,
    `water by the lye of ${told(water.lye_concentration, 1)} %: ${told(water.water_to_alkali, 2)} parts to one of alkali`,
    'where each figure of a fat comes from: barwright fats NAME'];
}

export function drawBinding(doc, act) {
  const blend = doc.blend;
  if (!blend) { put('binding', h('p', {}, 'Nothing yet.')); return; }
  const lines = blend.goals.filter((one) => one.binding);
  lines.sort((one, other) => (other.saves_if_dropped || 0) - (one.saves_if_dropped || 0));
  const short = blend.prefer.filter((one) => !one.met);
  put('binding',
    lines.length ? h('ul', {}, lines.map((one) => h('li', { 'data-wish': one.id },
      h('span', {}, one.says), ' ', h('span', { className: 'saves' }, saves(one, doc.currency)), ' ',
      button('why', () => act.whyLine(one), { className: 'small why', 'aria-label': `Why: ${one.says}` })))) : h('p', {}, 'None of your lines costs anything: the cheapest blend meets them all with room.'),
    short.map((one) => h('p', {}, `Wished for and not reached: ${one.says} (${told(one.value, 1)}${unitAfter(one.unit)}).`)));
}

function saves(one, currency) {
  const parts = [];
  const unit = one.unit === 'index' ? 'a point' : one.unit === '%' ? '1 %' : 'a unit';
  if (one.price_per_unit) parts.push(`${unit} easier saves ${one.price_per_unit.toFixed(3)} ${currency} / kg`);
  if (one.saves_if_dropped >= 0.005) parts.push(`without it ${one.saves_if_dropped.toFixed(2)} ${currency} / kg less`);
  return parts.length ? '– ' + parts.join('; ') : '';
}

export function drawClash(doc, last, act) {
  byId('clash').hidden = !doc.none;
  if (!doc.none) { put('clashes'); return; }
  const clash = (members, place) => h('li', {},
    h('p', {}, doc.none.clashes.length > 1 ? `Clash ${place + 1}: these cannot all hold` : 'These cannot all hold'),
    h('ul', {}, members.map((one) => h('li', {}, h('strong', {}, one.says), one.reach ? ` – with the others, ${one.reach}` : ''))));
  const way = (one) => {
    const words = one.change.map((part) => changeWords(part)).join(', and ');
    const price = one.cost_per_kg ? ` (${money(one.cost_per_kg, doc.currency)} / kg)` : '';
    const remark = [one.likely_lye_heavy ? 'likely lye-heavy' : '', one.nobody_would_pour ? 'on paper alone: nobody would pour it' : ''].filter(Boolean).join('; ');
    if (!one.edits) return h('li', {}, `${words}${price}: that is changed in the file of the shelf.`);
    return h('li', {}, button(words + price, () => act.takeWay(one), { className: 'way' }), remark ? h('span', { className: 'warn' }, ' ' + remark) : '');
  };
  put('clashes',
    doc.none.ways.length ? [h('h3', {}, 'Ways out, the smallest change first'), h('ul', { className: 'ways' }, doc.none.ways.map(way))] : h('p', {}, 'No single way out was found: drop one of the lines of each clash.'),
    h('h3', {}, 'Why there is none'),
    h('ol', { className: 'groups' }, doc.none.clashes.map(clash)),
    doc.none.complete ? null : h('p', { className: 'remark' }, 'There may be more clashes than these: the search was ended.'),
    last ? h('p', { className: 'remark' }, 'The blend that is shown is the last one that there was.') : null);
}

function changeWords(part) {
  if (!part.paste) return `leave out: ${part.says}`;
  if (part.id.startsWith('free_from.') || part.from === null || part.to === null) return `${part.says}: let in ${part.paste.replace(/[{}]/g, '').replace('at_most:', 'at most')}`;
  const places = Math.max(...[part.from, part.to].map((one) => (String(Number(one.toFixed(4))).split('.')[1] || '').length));
  return `${part.says}, brought to ${told(part.to, places)}${unitAfter(part.unit)}`;
}

export function drawCompare(found, doc, act) {
  byId('compare').hidden = !found;
  if (!found) { put('beside'); return; }
  if (!found.recipes) { put('beside', h('p', {}, 'The kept blend cannot be set beside this one: ' + ((found.faults || []).map((one) => one.message).join('; ') || found.why || 'that was not answered') + '.'), button('Let the kept one go', act.letGo)); return; }
  const [one, other] = found.recipes;
  const letters = [one, other].map((bar) => bar.blend);
  if (letters.some((bar) => bar.status === 'infeasible')) { put('beside', h('p', {}, 'One of the two has no blend.'), button('Let the kept one go', act.letGo)); return; }
  const fats = [...new Set(letters.flatMap((bar) => bar.fats.map((fat) => fat.fat)))];
  const share = (bar, fat) => { const line = bar.fats.find((one) => one.fat === fat); return line ? told(line.share, 1) + ' %' : '–'; };
  const row = (words, cells) => h('tr', {}, h('th', { scope: 'row' }, name(words)), cells.map((cell) => h('td', {}, cell)));
  const measures = Object.keys(letters[0].measures);
  const felt = (id) => (other.differs[id] && other.differs[id].felt ? ' (felt)' : '');
  put('beside',
    h('div', { className: 'scroll', tabIndex: 0, role: 'region', 'aria-label': 'The kept blend beside this one' }, h('table', {},
      h('thead', {}, h('tr', {}, h('td', {}), h('th', { scope: 'col' }, 'kept: ', name(one.title)), h('th', { scope: 'col' }, 'now: ', name(other.title)))),
      h('tbody', {},
        row('cost of a kilo', letters.map((bar) => money(bar.cost.per_kg, doc.currency))),
        fats.map((fat) => row(fat, letters.map((bar) => share(bar, fat)))),
        row('sodium hydroxide', letters.map((bar) => gramsTold(bar.alkali.sodium_hydroxide_g))),
        row('water', letters.map((bar) => gramsTold(bar.water.grams))),
        measures.map((id) => row(id.replaceAll('_', ' '), letters.map((bar, place) => told(bar.measures[id].value, 1) + (place ? felt(id) : ''))))))),
    other.says.length ? h('ul', {}, other.says.map((words) => h('li', {}, words))) : h('p', {}, 'Nobody would tell the two apart in use.'),
    button('Let the kept one go', act.letGo));
}
