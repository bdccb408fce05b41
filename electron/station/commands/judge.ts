import { type Judgement, judge, judgementRequestSchema } from '../../../shared/acceptance/judgement.ts';
import { badInput, type Command } from './command.ts';
import { atLine, readJsonDocuments, readOnlyInput, takeDocument } from './json-documents.ts';

/** Decides about readings given as JSON, without instruments or database. */
export const judgeCommand: Command = {
  name: 'judge',
  summary: 'Decide whether readings conform: reading, band, uncertainty and rule in, decision out (JSON)',
  usage: '[FILE | -]',
  help: `
Reads one JSON object, a JSON list, or JSON lines from FILE or standard input; prints one decision a line.

  {"quantity":"torque",
   "reading":{"value":19,"unit":"lbf.ft"},
   "band":{"target":27,"lower":25.92,"upper":28.08,"unit":"N.m"},
   "uncertainty":{"expanded":0.3,"k":2,"unit":"N.m"},
   "rule":{"kind":"guarded","factor":1}}

quantity     mass (g, mg, kg, oz, lb, gr) or torque (N.m, cN.m, lbf.in, lbf.ft, ozf.in, kgf.cm, kgf.m, gf.cm)
reading      {"value":19,"unit":…} or {"text":"19.0","unit":…}; units may differ, conversion is exact
band         tolerance limits lower and upper, one of them may be missing; target is not judged
uncertainty  {"expanded":U,"k":k,"unit":…} or {"standard":u,"unit":…}; above zero
rule         {"kind":"simple"}                              inside the tolerance passes (w = 0)
             {"kind":"guarded","factor":r}                  guard band w = r·U, r from 0 (ILAC-G8:09/2019)
             {"kind":"conformance","probability":0.95}      both tails, limits solved numerically (JCGM 106:2012)
             each may carry "source":"text"
Other fields of the object are left alone.

Prints value, unit (the band's), tolerance, acceptance, conformance, decision, margin, rule, uncertainty.
On a limit counts as inside. acceptance is null, with a sentence, where the uncertainty leaves no zone.
decision     pass              within the acceptance limits
             conditional pass  within the tolerance, outside the acceptance limits
             conditional fail  outside the tolerance by no more than the guard band (for conformance: not shown
                               with the probability asked for)
             fail              further out
margin       distance to the nearest acceptance limit, positive inside, null without a zone

Exit: 0 every one pass or conditional pass, 1 any conditional fail or fail, 2 bad input (nothing printed).
`,
  options: {},
  async run(input) {
    const documents = readJsonDocuments(await readOnlyInput(input));
    const judgements = documents.map((document): Judgement => {
      const judged = judge(takeDocument(judgementRequestSchema, document));
      if (!judged.ok) throw atLine(document, badInput(judged.error));
      return judged.value;
    });
    for (const judgement of judgements) await input.print(JSON.stringify(judgement));
    return judgements.some(({ decision }) => decision.endsWith('fail')) ? 1 : 0;
  },
};
