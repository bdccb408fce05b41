import { z } from 'zod';
import { sensibleNumberSchema } from '../../../shared/quantity/sensible-number.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { type GaugeSource, gaugeStudy } from '../../../shared/statistics/gauge-study.ts';
import { badInput, type Command } from './command.ts';
import { readJsonDocument, readOnlyInput } from './json-documents.ts';

const name = z.string().min(1).max(120);
const gaugeFileSchema = z.strictObject({
  readings: z
    .array(z.strictObject({ part: name, operator: name, value: sensibleNumberSchema }))
    .min(8, 'needs at least 2 parts, 2 operators and 2 trials each')
    .max(100_000),
  tolerance: sensibleNumberSchema.refine((value) => value > 0, { message: 'must be above zero' }).optional(),
});

const sources: Readonly<Record<GaugeSource, string>> = {
  repeatability: 'repeatability',
  reproducibility: 'reproducibility',
  measurementSystem: 'measurement system',
  part: 'parts',
  total: 'total',
};

/** Gauge repeatability and reproducibility. */
export const gaugeCommand: Command = {
  name: 'gauge',
  summary: 'Gauge repeatability and reproducibility by analysis of variance',
  usage: '[FILE | -]',
  help: `
Reads one JSON object from FILE or standard input:

  {"readings":[{"part":"A","operator":"amber","value":10.02}, …],"tolerance":1.0}

readings    every part as often for every operator, at least 2 × 2 × 2
tolerance   width of the tolerance, in the unit of the values; may be missing

The interaction of part and operator is pooled with the repeatability where its p-value lies above 0.25 (common
practice). Prints text, or with --json: lines (analysis of variance), interactionF, interactionP, pooled, components
{variance, standardDeviation, percentOfStudy, percentContribution} of repeatability, reproducibility,
measurementSystem, part and total, distinctCategories, percentOfTolerance (6 s over the tolerance).

Exit: 0 done, 2 bad input.
`,
  options: {},
  async run(input) {
    const file = parseWith(gaugeFileSchema, readJsonDocument(await readOnlyInput(input)));
    if (!file.ok) throw badInput(file.error);
    const { readings, tolerance } = file.value;
    const study = gaugeStudy(readings, tolerance === undefined ? {} : { tolerance });
    if (!study.ok) throw badInput(study.error);
    const { components, distinctCategories, percentOfTolerance, pooled, interactionP } = study.value;
    const rows = (Object.keys(sources) as GaugeSource[]).map((source) => {
      const { standardDeviation, percentOfStudy, percentContribution } = components[source];
      return `${sources[source].padEnd(20)}s ${Number(standardDeviation.toPrecision(6))}  ${percentOfStudy.toFixed(1)} % of study  ${percentContribution.toFixed(1)} % of variance`;
    });
    await input.print(
      input.json
        ? JSON.stringify(study.value)
        : [
            ...rows,
            `interaction         p ${interactionP.toFixed(4)}${pooled ? ', pooled with the repeatability' : ''}`,
            `distinct categories ${distinctCategories}`,
            ...(percentOfTolerance === null
              ? []
              : [`of the tolerance    ${percentOfTolerance.toFixed(1)} %`]),
          ].join('\n'),
    );
    return 0;
  },
};
