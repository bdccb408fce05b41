import { massUnits, quantityOf, torqueUnits, unitSchema } from '../../shared/quantity/unit.ts';
import { baudRates, characterFormats } from '../../shared/teach-view.ts';
import { chosenPort } from '../state/desk-state.ts';
import type { Situation } from '../state/situation.ts';
import { unitName } from '../wording/unit-name.ts';
import { type Action, failureOf } from './action.ts';
import { atDesk, signedInMay } from './manage.ts';
import { registration } from './register-instrument.ts';

const atTeach = (situation: Situation) =>
  atDesk(situation, 'teach') && signedInMay(situation, 'registerInstrument');
const isListening = ({ screen }: Situation) => screen.desk.teach?.port != null;

/** Listens to the chosen port; no instrument may hold it. */
export const listenToPort: Action = {
  id: 'listen-to-port',
  key: 'F3',
  place: 'desk',
  label: () => 'action.listenToPort',
  offered: atTeach,
  enabled: ({ screen }) => {
    const port = chosenPort(screen.desk);
    return port !== undefined && port.heldBy === null && port.transport === 'serial';
  },
  run({ screen }, hands) {
    const port = chosenPort(screen.desk);
    if (port === undefined) return;
    const { portId } = port;
    const before = screen.desk.teach?.port;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.listenToPort',
        explanation: 'question.listenToPort',
        fields: [
          {
            name: 'baud',
            kind: 'choice',
            label: 'field.baud',
            choices: baudRates.map((rate) => ({ value: String(rate), label: String(rate) })),
            initial: String(before?.baud ?? 9600),
          },
          {
            name: 'format',
            kind: 'choice',
            label: 'field.format',
            choices: characterFormats.map((value) => ({ value, label: value })),
            initial: before?.format ?? '8N1',
          },
        ],
        confirm: 'action.listenToPort',
        submit: async ({ baud, format }) => {
          const known = characterFormats.find((one) => one === format) ?? '8N1';
          const answer = await hands.call('teachListen', { portId, baud: Number(baud), format: known });
          if (answer.ok) await hands.loadDesk();
          return failureOf(answer);
        },
      },
    });
  },
};

/** Lets the port go; what was heard is forgotten. */
export const stopListening: Action = {
  id: 'stop-listening',
  key: 'F4',
  place: 'desk',
  label: () => 'action.stopListening',
  offered: atTeach,
  enabled: isListening,
  async run(_situation, hands) {
    if ((await hands.ask('teachStop', {})) !== null) await hands.loadDesk();
  },
};

/** What the person read on the display, at the moment of the key. */
export const confirmDisplay: Action = {
  id: 'confirm-display',
  key: 'F5',
  place: 'desk',
  label: () => 'action.confirmDisplay',
  offered: atTeach,
  enabled: ({ screen }) => screen.desk.teach?.guess?.ok === true,
  run({ screen }, hands) {
    const teach = screen.desk.teach;
    if (teach?.port == null) return;
    const heardBytes = teach.port.bytes;
    const last = teach.confirmations.at(-1);
    hands.open({
      kind: 'question',
      question: {
        title: 'action.confirmDisplay',
        explanation: 'question.confirmDisplay',
        fields: [
          { name: 'text', kind: 'number', label: 'field.displayText' },
          {
            name: 'unit',
            kind: 'choice',
            label: 'field.displayUnit',
            choices: [...massUnits, ...torqueUnits].map((value) => ({ value, label: unitName(value) })),
            initial: last?.unit ?? 'g',
          },
          {
            name: 'state',
            kind: 'choice',
            label: 'field.displayState',
            choices: (['stable', 'unstable', 'none'] as const).map((value) => ({
              value,
              label: { key: `field.displayState.${value}` } as const,
            })),
            initial: 'stable',
          },
        ],
        confirm: 'action.confirmDisplay',
        submit: async ({ text = '', unit, state }) => {
          const answer = await hands.call('teachConfirm', {
            heardBytes,
            text,
            unit: unitSchema.catch('g').parse(unit),
            state: state === 'stable' || state === 'unstable' ? state : null,
          });
          if (!answer.ok) return answer.error;
          await hands.loadDesk();
          hands.say({ tone: 'done', key: 'teach.saidConfirmed', parameters: { text } });
          return null;
        },
      },
    });
  },
};

/** Keeps what was learned under a name. */
export const saveProfile: Action = {
  id: 'save-profile',
  key: 'F6',
  place: 'desk',
  label: () => 'action.saveProfile',
  offered: atTeach,
  enabled: ({ screen }) => (screen.desk.teach?.confirmations.length ?? 0) > 0,
  run({ screen }, hands) {
    const teach = screen.desk.teach;
    const unit = teach?.confirmations[0]?.unit ?? 'g';
    const isTorque = quantityOf(unit) === 'torque';
    const portId = teach?.port?.portId ?? null;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.saveProfile',
        explanation: 'question.saveProfile',
        fields: [
          { name: 'name', kind: 'text', label: 'field.profileName' },
          { name: 'titleEn', kind: 'text', label: 'field.nameEn' },
          { name: 'titleDe', kind: 'text', label: 'field.nameDe' },
          isTorque
            ? {
                name: 'torque',
                kind: 'choice',
                label: 'field.torqueLines',
                choices: (['peak', 'track'] as const).map((value) => ({
                  value,
                  label: { key: `field.torqueLines.${value}` } as const,
                })),
                initial: 'peak',
              }
            : { name: 'division', kind: 'number', label: 'field.division', optional: true },
        ],
        confirm: 'action.saveProfile',
        submit: async ({ name = '', titleEn = '', titleDe = '', torque, division = '' }) => {
          const answer = await hands.call('teachSave', {
            name,
            title: { en: titleEn, de: titleDe },
            torque: !isTorque ? null : torque === 'track' ? 'track' : 'peak',
            division: division === '' ? null : division,
          });
          if (!answer.ok) return answer.error;
          await hands.loadDesk();
          hands.setDesk({ profileName: answer.value.name, portId });
          hands.say({ tone: 'done', key: 'teach.saidSaved', parameters: answer.value });
          return null;
        },
      },
    });
  },
};

/** Registers an instrument that speaks the profile taught last, on its port. */
export const registerTaught: Action = {
  id: 'register-taught',
  key: 'F7',
  place: 'desk',
  label: () => 'action.registerTaught',
  offered: atTeach,
  enabled: ({ screen }) => screen.desk.profileName !== null && screen.desk.teach?.port == null,
  run(situation, hands) {
    hands.set({ screen: 'instruments' });
    hands.open({ kind: 'question', question: registration(situation, hands, null) });
  },
};

/** The hand at the practice device of the demo workshop. */
export const movePractice: Action = {
  id: 'move-practice',
  key: 'F9',
  place: 'desk',
  label: ({ screen }) =>
    Number(screen.desk.teach?.practice?.text ?? 0) > 1 ? 'action.movePracticeOff' : 'action.movePracticeOn',
  offered: (situation) => atTeach(situation) && situation.screen.desk.teach?.practice != null,
  enabled: (situation) => signedInMay(situation, 'openJob'),
  async run({ screen }, hands) {
    const practice = screen.desk.teach?.practice;
    const instrumentId = screen.desk.teach?.port?.portId;
    if (practice == null || instrumentId === undefined) return;
    const action = Number(practice.text) > 1 ? 'dish off' : 'dish on';
    await hands.ask('simulate', { instrumentId, action });
  },
};
