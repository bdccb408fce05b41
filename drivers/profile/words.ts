import { z } from 'zod';
import { indicationStateSchema } from '../../shared/indication.ts';
import { unitSchema } from '../../shared/quantity/unit.ts';

/** Bytes as pairs of hexadecimal digits; blanks between them are allowed. */
export const hexBytesSchema = z
  .string()
  .max(512)
  .regex(/^\s*([0-9a-f]{2}\s*)*$/i, 'must be pairs of hexadecimal digits, for example 0d0a');

/** At least one byte. */
export const someHexBytesSchema = hexBytesSchema.refine(
  (text) => text.trim() !== '',
  'is empty; give pairs of hexadecimal digits, for example 0d0a',
);

/** One byte as one or two hexadecimal digits. */
export const hexByteSchema = z
  .string()
  .regex(/^\s*[0-9a-f]{1,2}\s*$/i, 'must be one byte in hexadecimal digits, for example 00');

/** The bytes behind a checked hexadecimal text. */
export function bytesOfHex(text: string): Buffer {
  return Buffer.from(text.replace(/\s+/g, ''), 'hex');
}

/** A regular expression as text; whether it compiles and what it costs is checked with the whole profile. */
export const patternSchema = z.string().min(1);

/** Recorded bytes; longer than what a profile sends or cuts by. */
export const recordedHexSchema = z
  .string()
  .max(400_000)
  .regex(/^\s*([0-9a-f]{2}\s*)+$/i, 'must be pairs of hexadecimal digits, for example 0d0a');

/** Name of a named group. */
export const groupSchema = z
  .string()
  .regex(/^[A-Za-z]\w{0,39}$/, 'must be the name of a named group of the pattern, for example value');

/** A refusal reason: one of ours, or the profile's own word. */
export const reasonSchema = z
  .string()
  .regex(/^[a-z][a-z0-9_]{0,39}$/, 'must be a reason in small letters, for example overload');

const shortText = z.string().max(80);
export const groupValuesSchema = z.array(shortText).max(200);
export { shortText as cellTextSchema };

/** What a bit of a status byte means when it is one or zero; nothing where it is empty. */
export const bitMeaningSchema = z.string().superRefine((meaning, context) => {
  const [word, detail] = [meaning.split(':', 1)[0] ?? '', meaning.slice(meaning.indexOf(':') + 1)];
  const known =
    meaning === '' ||
    meaning === 'negative' ||
    indicationStateSchema.safeParse(meaning).success ||
    (word === 'refuse' && reasonSchema.safeParse(detail).success) ||
    (word === 'unit' && meaning.includes(':'));
  if (known) return;
  context.addIssue({
    code: 'custom',
    message: `"${meaning}" is not known; give negative, refuse:REASON, unit:TEXT or a state (${indicationStateSchema.options.join(', ')})`,
  });
});

/** Text of the instrument to our unit. Closed: what is not in it is refused, never guessed. */
export const unitMapSchema = z.record(shortText, unitSchema);
