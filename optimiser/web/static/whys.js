// Why: the reasons, the sources and the status behind a figure, in a window of their own.

import { byId, button, gramsTold, h, money, name, put, told } from './parts.js';

const STATUS = { prior: 'prior: a reasoned estimate, not yet fitted to bars of your own', 'common practice': 'common practice: what makers do, no source' };
const HOW = { read: 'read in the source', memory: 'from memory, not looked up again', computed: 'computed from other figures' };

export function showWhy(title, inside) {
  put('why-h', title);
  put('why-body', ...inside);
  byId('why').showModal();
}

const line = (head, ...words) => (words.some(Boolean) ? [h('dt', {}, head), h('dd', {}, words)] : []);
const list = (head, lines) => (lines.length ? [h('h3', {}, head), h('ul', {}, lines.map((one) => h('li', {}, one)))] : []);

export function whyLine(one) {
  showWhy(one.says, [h('p', {}, one.why), h('p', {}, one.line ? `It stands in line ${one.line} of the file.` : 'It stands in no line of your file.')]);
}

export function whyScale(scale) {
  showWhy(scale.words, [
    h('dl', {}, line('What it tells', scale.about), line('Seen at the bench by', scale.observed_by),
      line('How sure', scale.unsure.startsWith('+/-') ? `${scale.unsure} ${scale.unit === 'index' ? 'points' : scale.unit}: two bars nearer than that are hard to tell apart` : scale.unsure),
      line('Status', STATUS[scale.status] || scale.status), line('Where it comes from', scale.source)),
    list('Your limits', scale.handles.map((one) => one.says + (one.line ? `, line ${one.line}` : ''))),
    list('Asked by others', scale.marks.map((one) => `${one.says}: ${one.why} (${one.status || 'no status'})`)),
    list('Words for it', scale.bands.map(([word, low, high]) => `${word}: ${low === null ? 'below ' + high : high === null ? 'from ' + low : low + ' to ' + high}`)),
  ]);
}

const range = (figure, unit, spread) => (figure ? `${told(figure.value, 1)} ${unit}${figure.high - figure.low < 0.05 ? '' : `; ${spread} ${told(figure.low, 1)} to ${told(figure.high, 1)}`}` : 'not known');
const cited = (one) => `${one.of}: ${one.source}${one.locator ? ', ' + one.locator : ''} (${HOW[one.how] || one.how})`;
const held = (one) => (one.binding ? 'at its limit' : 'with room');

// The lines that speak of a fat: by its name, its kind, a group of kinds, or a tag.
function linesOn(fat, blend) {
  const isOf = (key) => key === fat.fat || key.startsWith(fat.kind) || (key === 'solid fats' && ['hard oil', 'butter'].includes(fat.kind)) || fat.tags.includes(key);
  return blend.goals.filter((one) => isOf(one.id.split('.')[1] || ''));
}

export function whyFat(used, doc, blend) {
  const shelf = doc.shelf.fats;
  const fat = shelf.find((one) => one.fat === used.fat && one.lot === used.lot) || shelf.find((one) => one.fat === used.fat || (used.lot && one.lot === used.lot && one.fat.startsWith(used.fat)));
  if (!fat) { showWhy(used.fat, [h('p', {}, 'It is not on the shelf as it stands now.')]); return; }
  const on = linesOn(fat, blend);
  const tight = blend.goals.filter((one) => one.binding && !on.includes(one));
  showWhy(used.fat, [
    h('p', {}, `${told(used.share, 1)} % of the fats, ${gramsTold(used.grams)}: so much of it has the ${blend.near ? 'nearest blend to the recipe in hand' : 'cheapest blend'} that meets all lines. ${on.some((one) => one.binding) ? 'A line on it holds it there.' : 'No line on it holds it there: it is what the other lines and the prices together leave.'}`),
    list('Lines on it', on.map((one) => `${one.says}, ${held(one)}: ${one.why}`)),
    list('Lines that hold the whole blend back', tight.map((one) => one.says)),
    h('h3', {}, 'Figures it is reckoned with'),
    h('dl', {}, line('Kind', fat.kind + (fat.tags.length ? '; ' + fat.tags.join(', ') : '')),
      line('Saponification value', range(fat.saponification_value, 'mg KOH/g', fat.lot ? 'within its tolerance' : 'lots may have'), fat.lot ? `, by the certificate of lot ${fat.lot}` : '', fat.borrowed ? `, borrowed from ${fat.borrowed}` : ''),
      line('Iodine value', range(fat.iodine_value, 'g I2/100 g', 'lots may have')),
      line('Price', `${money(fat.price, doc.currency)} / kg, by your shelf `, name(doc.shelf.title))),
    list('Where they come from, and how sure', [...(fat.lot ? [`lot ${fat.lot}: its certificate as your shelf tells it, which goes before the table`] : []), ...(fat.sources.length ? fat.sources.map(cited) : ['no published source: your shelf alone'])]),
    h('p', {}, 'Every figure of it: barwright fats ', name(`'${used.fat}'`)),
  ]);
}

export function whyCost(doc, blend) {
  const cost = blend.cost, sum = (lines) => lines.reduce((all, one) => all + (one.cost || 0), 0);
  const fats = sum(blend.fats), extras = sum(blend.additives) + sum(blend.liquids), rest = Math.max(0, cost.batch - fats - extras);
  const row = (words, value) => h('tr', {}, h('th', { scope: 'row' }, words), h('td', {}, money(value, doc.currency)));
  const dear = blend.goals.filter((one) => one.saves_if_dropped >= 0.005).sort((one, other) => other.saves_if_dropped - one.saves_if_dropped);
  showWhy('cost', [
    h('table', {}, h('tbody', {}, row('fats', fats), extras ? row('additives and liquids', extras) : null, row('alkali', rest), row('this batch', cost.batch))),
    h('p', {}, `${money(cost.batch, doc.currency)} for ${told(cost.cured_g / 1000, 2)} kg of cured bars is ${money(cost.per_kg, doc.currency)} a kilo. Water dries out of the bar, so a cured kilo costs more than a kilo of batter.`),
    list('What each line costs', dear.map((one) => `${one.says}: without it ${money(one.saves_if_dropped, doc.currency)} / kg less`)),
    h('dl', {}, line('Status', 'arithmetic on the prices of your shelf ', name(doc.shelf.title), '; work, moulds, wrapping and heat are not in it'),
      line('How sure', blend.proof && blend.proof.exact ? `proved: none of the blends that meet these lines is cheaper${blend.proof.gap ? ` by more than ${told(100 * blend.proof.gap, 2)} %` : ''}` : 'the cheapest that was found; that there is no cheaper one is not proved')),
  ]);
}

export function whySwap(fat, answers, take) {
  const fitting = answers.filter((one) => one.fits && one.same_as === null);
  const part = (one) => {
    const comes = one.changed.filter((line) => line.to > line.from);
    return h('section', { className: 'swap' }, h('h3', {}, `${one.label}: `, one.changed.map((line, place) => [place ? ', ' : '', name(line.fat), ` ${told(line.from, 1)} to ${told(line.to, 1)} %`])),
      h('ul', {}, one.says.map((words) => h('li', {}, words))),
      button(['Leave ', name(fat), ' out and ask for ', comes.map((line, place) => [place ? ' and ' : '', name(line.fat)])], () => { byId('why').close(); take(comes); }));
  };
  showWhy(`In place of ${fat}`, fitting.length ? fitting.map(part) : [h('p', {}, 'Nothing on this shelf stands in for it.')]);
}
