import { rejectionSentences } from '../../shared/rejection-sentence.ts';
import type { Trouble } from '../state/trouble.ts';
import { codeKey } from './refusal-sentence.ts';
import type { Wording } from './wording.ts';

/** What is wrong with the instrument and what to do, in words. */
export function troubleSentence(trouble: Trouble, name: string, wording: Wording): string {
  switch (trouble.kind) {
    case 'no instrument':
      return wording.say('trouble.no instrument');
    case 'port':
      return wording.say(`trouble.${trouble.state}`, { name });
    case 'silent':
      if (trouble.rejection !== null) return wording.of(rejectionSentences[trouble.rejection]);
      return wording.say('trouble.silent', { name });
    case 'unfit':
      return inWords(trouble.code, trouble.message, wording);
    case 'blocked':
      return inWords(trouble.refusal.code, trouble.refusal.message, wording);
  }
}

function inWords(code: string, message: string, wording: Wording): string {
  const key = codeKey(code);
  return key === null ? message : wording.say(key);
}
