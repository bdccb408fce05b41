import fc from 'fast-check';
import { budgetCommand } from '../../../electron/station/commands/budget.ts';
import { capabilityCommand } from '../../../electron/station/commands/capability.ts';
import { BadInput, type Command, type CommandInput } from '../../../electron/station/commands/command.ts';
import { convertCommand } from '../../../electron/station/commands/convert.ts';
import { decodeCommand } from '../../../electron/station/commands/decode.ts';
import { judgeCommand } from '../../../electron/station/commands/judge.ts';
import { setpointCommand } from '../../../electron/station/commands/setpoint.ts';
import { unitOfText } from '../../../shared/quantity/unit-text.ts';
import { hostileTexts, spoiledText } from '../mutation.ts';
import type { Surface } from '../surface.ts';

interface Called {
  readonly code: number;
  readonly printed: readonly string[];
}

/** Calls a command as the command line does. Throws what is no bad input: a mistake of ours. */
export async function callCommand(
  command: Command,
  { bytes = Buffer.alloc(0), ...given }: Partial<CommandInput> & { readonly bytes?: Uint8Array },
): Promise<Called> {
  const printed: string[] = [];
  const input: CommandInput = {
    positionals: [],
    options: {},
    json: true,
    dataFolder: '',
    print: async (text) => {
      printed.push(text);
    },
    say: () => undefined,
    readStandardInput: async () => Buffer.from(bytes),
    async *standardInput() {
      yield bytes;
    },
    ...given,
  };
  try {
    return { code: await command.run(input), printed };
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    if (/\p{Cc}/u.test(error.message)) throw new Error(`more than one line: ${error.message}`);
    return { code: 2, printed };
  }
}

/** Exit 2 prints nothing; the others print JSON without NaN or infinity. */
function isGood({ code, printed }: Called): boolean {
  if (code === 2) return printed.length === 0;
  return printed.flatMap((text) => text.split('\n')).every((line) => JSON.parse(line) !== undefined);
}

const inputs = {
  judge: [
    {
      quantity: 'torque',
      reading: { value: 19, unit: 'lbf.ft' },
      band: { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' },
      uncertainty: { expanded: 0.3, k: 2, unit: 'N.m' },
      rule: { kind: 'guarded', factor: 1 },
    },
    {
      quantity: 'mass',
      reading: { text: '18.00', unit: 'g' },
      band: { lower: 17.4, unit: 'g' },
      uncertainty: { standard: 0.02, unit: 'g' },
      rule: { kind: 'conformance', probability: 0.95 },
    },
  ],
  budget: [
    {
      quantity: 'mass',
      unit: 'g',
      coverageProbability: 0.9545,
      contributions: [
        { name: 'standard', kind: 'normal', expanded: 45, k: 2, unit: 'mg' },
        { name: 'drift', kind: 'rectangular', halfWidth: 0.015 },
        { name: 'repeatability', kind: 'typeA', standardDeviation: 0.025, n: 3 },
        { name: 'step', kind: 'resolution', resolution: 0.1, readings: 2 },
      ],
    },
  ],
  setpoint: [
    {
      band: { target: 23, lower: 21.85, upper: 24.15, unit: 'N.m' },
      uncertainty: { expanded: 0.4, k: 2, unit: 'N.m' },
      rule: { kind: 'guarded', factor: 1 },
      wrench: { unit: 'lbf.ft', graduation: 1, minimum: 5, maximum: 80 },
      lever: { wrenchLength: 300, extension: 50, angleDegrees: 0, unit: 'mm' },
      equivalent: { value: 16, unit: 'lbf.ft' },
    },
  ],
  capability: [
    { lower: 17.4, upper: 18.6, unit: 'g', values: [18, 18.1, 17.9, 18.05, 17.95] },
    {
      lower: 1,
      upper: 3,
      subgroups: [
        [2, 2.1],
        [1.9, 2],
        [2.2, 2.1],
      ],
      confidence: 0.9,
    },
    { lower: 1, mean: 2, standardDeviation: 0.1, n: 30 },
  ],
} as const;

function jsonSurface(command: Command, documents: readonly unknown[]): Surface {
  return {
    name: `command ${command.name}`,
    holds: 'exit 0, 1 with JSON, or 2 with one line; no throw',
    async open() {
      const given = fc.tuple(spoiledText(documents), fc.boolean());
      return {
        property: fc.asyncProperty(given, async ([text, json]) => {
          const called = await callCommand(command, { json, bytes: Buffer.from(text) });
          return json ? isGood(called) : called.code < 3;
        }),
      };
    },
  };
}

const number = fc.oneof(
  fc.double().map(String),
  fc.bigInt().map(String),
  fc.stringMatching(/^[+-]?\d{1,30}(\.\d{0,30})?([eE][+-]?\d{1,4})?$/),
  fc.constantFrom(...hostileTexts),
  fc.string({ unit: 'binary' }),
);
const unitText = fc.oneof(
  fc.constantFrom(
    'g',
    'kg',
    'mg',
    'oz',
    'lb',
    'gr',
    'N.m',
    'cN.m',
    'lbf.in',
    'lbf.ft',
    'ozf.in',
    'kgf.cm',
    'N·m',
  ),
  fc.constantFrom(...hostileTexts),
  fc.string({ unit: 'binary' }),
);

const convertSurface: Surface = {
  name: 'command convert',
  holds: 'exit 0 with the value and its unit, or 2 with one line; no throw',
  async open() {
    const words = fc.oneof(
      fc.tuple(number, unitText, unitText),
      fc.array(fc.oneof(number, unitText), { maxLength: 5 }),
    );
    return {
      property: fc.asyncProperty(words, async (positionals) => {
        const called = await callCommand(convertCommand, { positionals: [...positionals] });
        if (called.code === 2) return isGood(called);
        const { value, unit } = JSON.parse(called.printed[0] ?? '');
        return unitOfText(unit) === unit && (value === null || Number.isFinite(value));
      }),
    };
  },
};

const decodeSurface: Surface = {
  name: 'command decode',
  holds: 'exit 0 with JSON lines, or 2 with one line; no throw',
  async open() {
    const option = fc.oneof(
      fc.constantFrom('scale-comma-header', 'wrench-comma-line', 'scale-ticket-block'),
      fc.constantFrom(...hostileTexts),
      fc.string({ unit: 'binary' }),
    );
    const losses = fc.array(fc.oneof(fc.nat(500).map(String), fc.constantFrom(...hostileTexts)), {
      maxLength: 3,
    });
    const bytes = fc.uint8Array({ maxLength: 500 });
    return {
      property: fc.asyncProperty(option, losses, bytes, async (profile, reconnectAt, data) => {
        const options = { profile, 'reconnect-at': reconnectAt };
        const called = await callCommand(decodeCommand, { options, bytes: data });
        return called.code === 2 || isGood(called);
      }),
    };
  },
};

/** What people, scripts and other programs hand to the command line. */
export const commandSurfaces: readonly Surface[] = [
  jsonSurface(judgeCommand, inputs.judge),
  jsonSurface(budgetCommand, inputs.budget),
  jsonSurface(setpointCommand, inputs.setpoint),
  jsonSurface(capabilityCommand, inputs.capability),
  convertSurface,
  decodeSurface,
];
