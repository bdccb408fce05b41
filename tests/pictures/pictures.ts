// `npm run pictures`: pictures of the real screens on the real station with simulated instruments.
import { mkdirSync, mkdtempSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { goThroughMoments } from './moments.ts';
import { languages, PictureBench, sizes, themes, type View } from './picture-bench.ts';

const help = `Usage: npm run pictures [-- --all [DIR]] [--only TEXT]

Without --all: the chosen pictures of docs/pictures, which README.md shows.

  --all        every moment in both languages, three themes and two sizes, into DIR (default: a temporary folder)
  --only TEXT  only the pictures whose name (moment.language.theme.width) fits this regular expression`;

const small = sizes[0];
const usual: View = { language: 'en', theme: 'light', size: small };

/** The pictures of docs/pictures: file, moment, and how the screen looks. */
const chosen: readonly (readonly [file: string, moment: string, view: View])[] = [
  ['start', 'start-with-open-job', usual],
  ['caution', 'step-heat', usual],
  ['part', 'step-part', usual],
  ['filling', 'fill-flowing', usual],
  ['fill-pass', 'fill-pass', usual],
  ['why', 'why-conditional', usual],
  ['unplugged', 'scale-unplugged', usual],
  ['tighten-fail', 'tighten-fail', usual],
  ['tighten-pass-german', 'tighten-pass', { ...usual, language: 'de' }],
  ['tighten-pass-dark', 'tighten-pass', { ...usual, theme: 'dark' }],
  ['released', 'released', usual],
  ['audit', 'audit-verified', usual],
  ['charts', 'audit-charts', usual],
];

interface Wish {
  readonly file: string;
  readonly moment: string;
  readonly view: View;
}

function wishesFor(folder: string): readonly Wish[] {
  return chosen.map(([name, moment, view]) => ({ file: join(folder, `${name}.png`), moment, view }));
}

const everyView: readonly View[] = languages.flatMap((language) =>
  themes.flatMap((theme) => sizes.map((size) => ({ language, theme, size }))),
);

async function main(words: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      all: { type: 'boolean', default: false },
      only: { type: 'string', default: '' },
      help: { type: 'boolean', default: false },
    },
  });
  if (values.help || positionals.length > (values.all ? 1 : 0)) {
    process.stdout.write(`${help}\n`);
    return values.help ? 0 : 2;
  }
  const folder = values.all
    ? resolve(positionals[0] ?? mkdtempSync(join(tmpdir(), 'bandwright-gallery-')))
    : resolve(import.meta.dirname, '../../docs/pictures');
  mkdirSync(folder, { recursive: true });
  const wishes = wishesFor(folder);
  const only = new RegExp(values.only);
  const bench = await new PictureBench().open(values.all ? everyView : wishes.map(({ view }) => view));
  let count = 0;
  let bytes = 0;
  let told = 0;
  try {
    await goThroughMoments(bench, async (moment, prepare = async () => undefined) => {
      const due = values.all
        ? everyView.map((view) => ({ file: join(folder, fileName(moment, view)), moment, view }))
        : wishes.filter((wish) => wish.moment === moment);
      for (const { file, view } of due) {
        if (!only.test(file)) continue;
        await bench.take(view, file, prepare);
        count += 1;
        bytes += statSync(file).size;
      }
      process.stderr.write(`${moment}\n`);
      // At once, so that they are read where a later moment does not come.
      for (const text of bench.hidden.slice(told)) process.stderr.write(`Not to be read whole: ${text}\n`);
      told = bench.hidden.length;
    });
  } catch (error) {
    const file = join(tmpdir(), 'bandwright-picture-stuck.png');
    await bench.hand.screenshot({ path: file });
    process.stderr.write(`It does not go on; the page looks like ${file}\n`);
    throw error;
  } finally {
    await bench.end();
  }
  for (const error of new Set(bench.errors)) process.stderr.write(`The page complained: ${error}\n`);
  process.stdout.write(`${count} pictures, ${Math.round(bytes / 1024)} kB, in ${folder}\n`);
  return bench.errors.length === 0 && bench.hidden.length === 0 ? 0 : 1;
}

function fileName(moment: string, { language, theme, size }: View): string {
  return `${moment}.${language}.${theme}.${size.width}.png`;
}

process.exitCode = await main(process.argv.slice(2));
