import { z } from 'zod';
import { bandSchema } from '../../../shared/acceptance/band.ts';
import { globalRisks } from '../../../shared/acceptance/risk.ts';
import { decisionRuleSchema } from '../../../shared/acceptance/rule.ts';
import { expandedUncertaintySchema, standardUncertainty } from '../../../shared/acceptance/uncertainty.ts';
import { acceptanceZone, noAcceptanceZone } from '../../../shared/acceptance/zone.ts';
import { convertNumber } from '../../../shared/quantity/conversion.ts';
import { toNumber } from '../../../shared/quantity/rational.ts';
import { sensibleNumberSchema } from '../../../shared/quantity/sensible-number.ts';
import { quantityOf } from '../../../shared/quantity/unit.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { BadInput, badInput, type Command } from './command.ts';
import { readJsonDocument, readOnlyInput } from './json-documents.ts';

const riskFileSchema = z.strictObject({
  process: z.strictObject({
    mean: sensibleNumberSchema,
    standardDeviation: sensibleNumberSchema.refine((value) => value > 0, { message: 'must be above zero' }),
  }),
  band: bandSchema,
  uncertainty: expandedUncertaintySchema,
  rule: decisionRuleSchema,
});

/** Global consumer's and producer's risk of a decision rule for a process. */
export const riskCommand: Command = {
  name: 'risk',
  summary: 'Global consumer’s and producer’s risk of a decision rule for a process',
  usage: '[FILE | -]',
  help: `
Reads one JSON object from FILE or standard input:

  {"process":{"mean":27,"standardDeviation":0.4},
   "band":{"lower":25.92,"upper":28.08,"unit":"N.m"},
   "uncertainty":{"expanded":0.3,"k":2,"unit":"N.m"},
   "rule":{"kind":"guarded","factor":1}}

process      what is made: normal, in the band's unit, its standard deviation without that of measuring
band, uncertainty, rule  as for judge

Prints text, or with --json: unit, acceptance {lower, upper}, consumer (does not conform and is accepted), producer
(conforms and is rejected), conforming, accepted; all for the next item, between 0 and 1 (JCGM 106:2012, 9.5).

Exit: 0 done, 2 bad input, also where the rule accepts nothing at all.
`,
  options: {},
  async run(input) {
    const file = parseWith(riskFileSchema, readJsonDocument(await readOnlyInput(input)));
    if (!file.ok) throw badInput(file.error);
    const { process, band, uncertainty, rule } = file.value;
    if (quantityOf(uncertainty.unit) !== quantityOf(band.unit)) {
      throw new BadInput(`uncertainty.unit: ${uncertainty.unit} measures another quantity than ${band.unit}`);
    }
    const acceptance = acceptanceZone(band, uncertainty, rule);
    if (!acceptance.ok) throw badInput(acceptance.error);
    if (acceptance.value === null) throw new BadInput(`rule: ${noAcceptanceZone}`);
    const u = convertNumber(toNumber(standardUncertainty(uncertainty)), uncertainty.unit, band.unit);
    const tolerance = { lower: band.lower ?? null, upper: band.upper ?? null };
    const risks = globalRisks(process, u, tolerance, acceptance.value);
    const report = { unit: band.unit, acceptance: acceptance.value, ...risks };
    const share = (value: number) => `${Number((100 * value).toPrecision(4))} %`;
    await input.print(
      input.json
        ? JSON.stringify(report)
        : [
            `does not conform, accepted   ${share(risks.consumer)}`,
            `conforms, rejected           ${share(risks.producer)}`,
            `conforms                     ${share(risks.conforming)}`,
            `accepted                     ${share(risks.accepted)}`,
          ].join('\n'),
    );
    return 0;
  },
};
