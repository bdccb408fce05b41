import { type Budget, budgetFileSchema, evaluateBudgetFile } from '../../../shared/acceptance/budget.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { badInput, type Command } from './command.ts';
import { readJsonDocument, readOnlyInput } from './json-documents.ts';

/** Evaluates an uncertainty budget. */
export const budgetCommand: Command = {
  name: 'budget',
  summary: 'Evaluate an uncertainty budget: combined, effective degrees of freedom, k, expanded',
  usage: '[FILE | -]',
  help: `
Reads one JSON object from FILE or standard input:

  {"quantity":"mass","unit":"g","coverageProbability":0.9545,
   "contributions":[
     {"name":"standard","kind":"normal","expanded":45,"k":2,"unit":"mg"},
     {"name":"drift","kind":"rectangular","halfWidth":0.015},
     {"name":"repeatability","kind":"typeA","standardDeviation":0.025,"n":3},
     {"name":"step","kind":"resolution","resolution":0.1,"readings":2}]}

unit                 unit of the result; a known one is converted exactly, another is taken as it stands
coverageProbability  k from Student's t at the effective degrees of freedom, rounded down; 0.9545 if left out
k                    instead: a fixed coverage factor
contributions, by kind:
  normal       expanded, k                                  u = expanded/k (a certificate)
  rectangular  halfWidth                                    u = halfWidth/√3 (drift, permissible error, linearity)
  triangular   halfWidth                                    u = halfWidth/√6
  arcsine      halfWidth                                    u = halfWidth/√2
  typeA        standardDeviation, n, meanOf                 u = s/√meanOf, ν = n − 1; meanOf is n if left out, 1 without n
  resolution   resolution, readings                         u = d·√(readings/12); net = gross − tare: "readings":2
  standard     u, degreesOfFreedom
A cause may stand as kind: certificate (normal), repeatability (typeA), drift, linearity, geometry, buoyancy,
maximum permissible error (rectangular).
each also: name, unit (the budget's if left out), sensitivity (1; needed where the unit measures something
else, for example "unit":"mm","sensitivity":0.11), degreesOfFreedom, cause, source, estimate (values are summed)

Prints a table, or with --json: unit, contributions [name, cause, kind, unit, u, sensitivity, contribution,
share, degreesOfFreedom], combined, degreesOfFreedom (null: infinite), coverageProbability, k, expanded, value.

Exit: 0 done, 2 bad input.
`,
  options: {},
  async run(input) {
    const file = parseWith(budgetFileSchema, readJsonDocument(await readOnlyInput(input)));
    if (!file.ok) throw badInput(file.error);
    const budget = evaluateBudgetFile(file.value);
    if (!budget.ok) throw badInput(budget.error);
    await input.print(input.json ? JSON.stringify(budget.value) : tableOf(budget.value));
    return 0;
  },
};

/** The budget as text, a bar per contribution for its share of the variance. */
function tableOf(budget: Budget<string>): string {
  const rows = [
    ['contribution', 'u', 'unit', 'sensitivity', `in ${budget.unit}`, 'ν', 'share', ''],
    ...budget.contributions.map((line) => [
      line.name,
      digits(line.u),
      line.unit,
      digits(line.sensitivity),
      digits(line.contribution),
      line.degreesOfFreedom === null ? '∞' : digits(line.degreesOfFreedom),
      `${(line.share * 100).toFixed(1)} %`,
      '█'.repeat(Math.round(line.share * 20)),
    ]),
  ];
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const lines = rows.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  );
  const freedom = budget.degreesOfFreedom === null ? '∞' : budget.degreesOfFreedom.toFixed(1);
  const coverage =
    budget.coverageProbability === null ? 'k given' : `${(budget.coverageProbability * 100).toFixed(2)} %`;
  return [
    ...lines,
    '',
    ...(budget.value === undefined ? [] : [`value                          ${budget.value} ${budget.unit}`]),
    `combined standard uncertainty  ${digits(budget.combined)} ${budget.unit}`,
    `effective degrees of freedom   ${freedom}`,
    `coverage factor k              ${digits(budget.k)} (${coverage})`,
    `expanded uncertainty U         ${digits(budget.expanded)} ${budget.unit}`,
  ].join('\n');
}

function digits(value: number): string {
  return String(Number(value.toPrecision(6)));
}
