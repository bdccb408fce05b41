import type { LessonHeard } from '../../drivers/teach/lesson-recorder.ts';
import type { LinePart, TeachGuess } from '../../shared/teach-view.ts';

/** Lines that are shown cut into columns. */
const linesShown = 6;

/** The guesses of a lesson as the screen shows them: framing, settings, and the last lines with their columns. */
export function guessView(lesson: LessonHeard): TeachGuess {
  if (!lesson.ok) return { ok: false, code: lesson.error.code, message: lesson.error.message };
  const { frame, highBit, decimal, readings, roles } = lesson.value;
  const roleOf = (column: number): LinePart['role'] =>
    column === roles.value
      ? 'value'
      : column === roles.unit
        ? 'unit'
        : roles.flags.includes(column) && (readings.columns[column]?.values.length ?? 0) > 1
          ? 'flag'
          : null;
  const lines = readings.rows
    .flatMap((row) => (row === null ? [] : [row]))
    .slice(-linesShown)
    .map((row) =>
      row.flatMap((token, column): LinePart[] => {
        if (token === null) return [];
        const blanks = ' '.repeat(token.blanksBefore);
        const text = `${token.sign}${' '.repeat(token.blanksInside)}${token.text}`;
        return [...(blanks === '' ? [] : [{ text: blanks, role: null }]), { text, role: roleOf(column) }];
      }),
    );
  return {
    ok: true,
    start: frame.start ?? null,
    ends: frame.ends,
    parityLeftIn: highBit.isParity,
    betterFormat: highBit.setting,
    decimal,
    lines,
  };
}
