import { decisions } from '../../../shared/acceptance/judgement.ts';
import type { Finding } from '../../../shared/audit/finding.ts';
import type { VerifyProgress } from '../../../shared/contract.ts';
import type { Wording } from '../../wording/wording.ts';
import { eventWords } from './event-words.ts';

/** What was found and how bad it is, in two sentences: the kind of problem, and the finding itself. */
export function problemSentences(
  { kind, serial, sequence, jobId, stream, finding }: VerifyProgress['problems'][number],
  wording: Wording,
): readonly [kind: string, finding: string] {
  const { say } = wording;
  const what = say(`audit.problem.${kind}`);
  const place = jobId === null ? stream : say('audit.problemJob', { job: jobId });
  return [
    serial === null ? asSentence(what) : say('audit.problemAt', { serial, sequence: sequence ?? '?', what }),
    `${place === null ? '' : `${place}: `}${findingSentence(finding, wording)}`,
  ];
}

/** What was found, as a sentence of the language. */
export function findingSentence({ code, values }: Finding, wording: Wording): string {
  const shown = Object.entries(values).map(([name, value]) => [name, inWords(name, value, wording)]);
  return asSentence(wording.say(`finding.${code}`, Object.fromEntries(shown)));
}

function asSentence(words: string): string {
  const sentence = `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
  return /[.!?]$/.test(sentence) ? sentence : `${sentence}.`;
}

/** Events and decisions have words of their own on every screen. */
function inWords(name: string, value: string | number, wording: Wording): string | number {
  if (name === 'kind') return eventWords(String(value), wording);
  const decision = decisions.find((one) => one === value);
  return decision === undefined ? value : wording.say(`verdict.${decision}`);
}
