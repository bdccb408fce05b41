import { identifierRule } from '../../shared/identifier.ts';
import type { Refusal } from '../../shared/result.ts';
import { sheetRefusalSentence } from '../screens/sheets/sheet-refusal-sentence.ts';
import type { Notice } from '../state/screen-store.ts';
import type { RefusedSheet } from '../state/sheet-draft.ts';
import type { CallFailure } from '../station-client.ts';
import { english, type MessageKey } from './english.ts';
import type { Wording } from './wording.ts';

function isKnown(key: string): key is MessageKey {
  return Object.hasOwn(english, key);
}

/** The key of a code of the station, if there are words for it. */
export function codeKey(code: string): MessageKey | null {
  const keys = [`code.${code}`, `code.${code.replace(/^instrument_/, '')}`];
  const known = keys.find((key) => Object.hasOwn(english, key));
  return known === undefined ? null : (known as MessageKey);
}

/** What is wrong with the station and what to do; new codes in the station's own words. */
export function faultSentence(
  { code, message }: { readonly code: string; readonly message: string },
  wording: Wording,
): string {
  const key = `fault.${code}`;
  return isKnown(key) ? wording.say(key) : wording.say('refusal.fault', { message });
}

/**
 * Why something could not be taken, in one sentence of the language; the station's own words for new codes. `refused`:
 * the sheet that it is about.
 */
export function failureSentence(failure: CallFailure, wording: Wording, refused?: RefusedSheet): string {
  switch (failure.kind) {
    case 'unreachable':
      return wording.say('refusal.unreachable');
    case 'fault':
      return faultSentence(failure, wording);
    case 'refusal':
      return refusalSentence(failure.refusal, wording, refused);
  }
}

/** What is wrong with a value, in one sentence of the language; the station's own words for new codes. */
export function refusalSentence(refusal: Refusal, wording: Wording, refused?: RefusedSheet): string {
  // What is wrong in a sheet comes first: the same code may mean something else at the bench.
  if (refused !== undefined || /^(sheet\.|steps\[)/.test(refusal.field)) {
    const sentence = sheetRefusalSentence(refusal, refused ?? { sheet: {}, asJson: false }, wording);
    if (sentence !== null) return sentence;
  }
  const key = codeKey(refusal.code);
  return key === null ? shapeSentence(refusal, wording) : wording.say(key);
}

/** What a schema found, with the path of the field; other new codes in the station's own words. */
function shapeSentence({ code, field, message, values }: Refusal, wording: Wording): string {
  const shown = { field, message: message.replace(/\.$/, '') };
  switch (code) {
    case 'missing':
      return wording.say('shape.missing', shown);
    case 'wrong_type':
      return wording.say('shape.wrong_type', shown);
    case 'unknown_field':
      return wording.say('shape.unknown_field', shown);
    case 'invalid_format':
      if (values?.format === 'date') return wording.say('shape.not_a_day', shown);
      if (message === identifierRule) return wording.say('shape.identifier', shown);
      return wording.say('shape.other', shown);
    case 'not_finite':
      return wording.say('shape.not_finite', shown);
    default:
      return !/[.[]/.test(field) ? message : wording.say('shape.other', shown);
  }
}

export function noticeSentence(notice: Notice, wording: Wording): string {
  return 'failure' in notice
    ? failureSentence(notice.failure, wording, notice.sheet)
    : wording.say(notice.key, notice.parameters);
}
