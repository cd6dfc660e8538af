/**
 * A sheet as SVG text. Everything that was said by others is escaped; tones are class names with the print colour as an
 * attribute beside, which any style sheet overrules. There is no script, no style and nothing to load in it.
 */
import { HATCH_WIDTH, hatchLines } from './hatchLines.ts';
import {
  type BoxMark,
  type LineMark,
  type Mark,
  PRINT_COLOURS,
  type Sheet,
  type TextMark,
  type Tone,
} from './sheet.ts';

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
/** Characters that XML 1.0 (section 2.2) does not have at all. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: those are what is meant
const NOT_XML = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Cs}/gu;
const escaped = (text: string): string =>
  text.replace(NOT_XML, '\ufffd').replace(/[&<>"']/g, (letter) => ESCAPES[letter]!);

const number = (value: number): string => String(Math.round(value * 100) / 100 + 0);

/** Only places within our own documents are linked to. */
const isOwn = (href: string): boolean => href.startsWith('#');

const filled = (tone: Tone): string => `class="fill-${tone}" fill="${PRINT_COLOURS[tone]}"`;
const stroked = (tone: Tone, width: number): string =>
  `class="line-${tone}" fill="none" stroke="${PRINT_COLOURS[tone]}" stroke-width="${number(width)}"`;

const pathOf = (runs: readonly (readonly number[])[]): string =>
  runs
    .map((run) => {
      let path = '';
      for (let i = 0; i + 1 < run.length; i += 2)
        path += `${i === 0 ? 'M' : 'L'}${number(run[i]!)} ${number(run[i + 1]!)}`;
      return path;
    })
    .join('');

function textOf({ x, y, text, size, bold, tone, anchor, width, turned, href }: TextMark): string {
  if (text === '') return '';
  const place = turned
    ? `transform="translate(${number(x)} ${number(y)}) rotate(-90)"`
    : `x="${number(x)}" y="${number(y)}"`;
  const weight = bold ? ' font-weight="bold"' : '';
  const from = anchor === 'start' ? '' : ` text-anchor="${anchor}"`;
  // Another font than the one that was measured is made to fit.
  const fit = width > 0 ? ` textLength="${number(width)}" lengthAdjust="spacingAndGlyphs"` : '';
  const said = `<text ${place} font-size="${number(size)}"${weight}${from}${fit} ${filled(tone)}>${escaped(text)}</text>`;
  return href !== undefined && isOwn(href) ? `<a href="${escaped(href)}">${said}</a>` : said;
}

function lineOf({ runs, tone, width, dash }: LineMark): string {
  const path = pathOf(runs);
  if (path === '') return '';
  const dashes = dash.length > 0 ? ` stroke-dasharray="${dash.map(number).join(' ')}"` : '';
  return `<path d="${path}"${dashes} stroke-linejoin="round" ${stroked(tone, width)}/>`;
}

function boxOf(mark: BoxMark): string {
  const { x, y, width, height, fill, edge } = mark;
  const rect = (paint: string): string =>
    `<rect x="${number(x)}" y="${number(y)}" width="${number(width)}" height="${number(height)}" ${paint}/>`;
  let said = '';
  if (fill?.pattern === 'solid') said += rect(filled(fill.tone));
  else if (fill) {
    said += lineOf({
      kind: 'line',
      runs: hatchLines(mark, fill.pattern),
      tone: fill.tone,
      width: HATCH_WIDTH,
      dash: [],
    });
  }
  return edge ? said + rect(stroked(edge.tone, edge.width)) : said;
}

function markOf(mark: Mark): string {
  switch (mark.kind) {
    case 'text':
      return textOf(mark);
    case 'line':
      return lineOf(mark);
    case 'box':
      return boxOf(mark);
  }
}

export function svgSheet({ width, height, title, marks }: Sheet): string {
  const size = `viewBox="0 0 ${number(width)} ${number(height)}" width="${number(width)}" height="${number(height)}"`;
  const font = 'font-family="DejaVu Sans Condensed, DejaVu Sans, Verdana, sans-serif"';
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" class="sheet" ${size} ${font} role="img" aria-label="${escaped(title)}">` +
    `<title>${escaped(title)}</title>${marks.map(markOf).join('\n')}</svg>`
  );
}
