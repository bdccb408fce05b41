import { readFile } from 'node:fs/promises';
import type { ParseArgsOptionsConfig } from 'node:util';
import type { Refusal } from '../../../shared/result.ts';

/** 0 done, 1 judged negative or evidence broken, 2 bad input. */
export type ExitCode = 0 | 1 | 2;

/** Option values as `parseArgs` gives them. */
export type OptionValues = Readonly<Record<string, string | boolean | (string | boolean)[] | undefined>>;

/** What a command may touch: its words and the three streams. */
export interface CommandInput {
  readonly positionals: readonly string[];
  readonly options: OptionValues;
  /** True with `--json`: machine-readable JSON on standard output, nothing else there. */
  readonly json: boolean;
  /** The data folder (`--data DIR` or the default). */
  readonly dataFolder: string;
  /** Writes one line (or several) to standard output. Resolves when the reader has taken it. */
  print(text: string): Promise<void>;
  /** Writes one line to standard error. */
  say(text: string): void;
  /** Whole standard input. */
  readStandardInput(): Promise<Buffer>;
  /** Standard input piece by piece as it comes, for a command that answers while it listens. */
  standardInput(): AsyncIterable<Uint8Array>;
}

/** One word of the command line. */
export interface Command {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /** What stands behind the name in the usage line, for example `--profile FILE-OR-NAME [FILE]`. */
  readonly usage: string;
  /** The text of `--help` below the usage line: what it reads, prints, and exit codes. */
  readonly help: string;
  /** Options besides `--help`, `--json`, `--data`, in the words of `node:util` parseArgs. */
  readonly options: ParseArgsOptionsConfig;
  run(input: CommandInput): Promise<ExitCode>;
}

/** Bad input found while a command runs: one line on standard error, exit 2, nothing written. */
export class BadInput extends Error {
  override readonly name = 'BadInput';
  constructor(message: string) {
    super(onOneLine(message));
  }
}

const longestMessage = 1000;

/** What is quoted from an input stays on its line and commands no terminal: control and direction marks are spelled out. */
function onOneLine(text: string): string {
  const line = text.replace(
    /[\p{Cc}\u2028\u2029\u202a-\u202e\u2066-\u2069]/gu,
    (mark) => `\\u${mark.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  return line.length > longestMessage ? `${line.slice(0, longestMessage)}…` : line;
}

/** Turns a refusal into the error that ends a command with exit 2: `field: what is wrong and what to do`. */
export function badInput(refusal: Refusal): BadInput {
  const { field, message } = refusal;
  if (field !== '') return new BadInput(`${field}: ${message}`);
  return new BadInput(message.startsWith('must be ') ? `input ${message}` : message);
}

/** Reads a file argument, or standard input for `-` or no argument. A missing file is bad input. */
export async function readInput(input: CommandInput, file: string | undefined): Promise<Buffer> {
  if (file === undefined || file === '-') return input.readStandardInput();
  try {
    return await readFile(file);
  } catch (error) {
    const reason = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw new BadInput(
      `${file}: cannot be read (${reason}); give the path of an existing file, or - for standard input`,
    );
  }
}
