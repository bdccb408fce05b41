import type { HealthView } from '../../shared/health-view.ts';
import type {
  LotView,
  PersonAccountView,
  RegisteredInstrumentView,
  SheetRevisionsView,
} from '../../shared/management-view.ts';
import type { HidLackView, PortView, ProfileView, TeachView } from '../../shared/teach-view.ts';
import type { SheetDraft } from './sheet-draft.ts';

/** What the screens of leads and administrators show and have chosen; fetched anew after each change. */
export interface DeskState {
  readonly register: readonly RegisteredInstrumentView[] | null;
  readonly sheets: readonly SheetRevisionsView[] | null;
  readonly lots: readonly LotView[] | null;
  readonly accounts: readonly PersonAccountView[] | null;
  readonly ports: readonly PortView[] | null;
  /** Why no HID scale is among them; null where they are looked for. */
  readonly hidLack: HidLackView | null;
  readonly teach: TeachView | null;
  /** The newest look; null before the first. */
  readonly health: HealthView | 'looking' | 'failed' | null;
  /** Profiles that a new instrument may speak. */
  readonly profiles: readonly ProfileView[] | null;
  /** The entry chosen in each list; null: the first. */
  readonly instrumentId: string | null;
  readonly sheetId: string | null;
  readonly revision: number | null;
  readonly lotId: string | null;
  readonly personId: string | null;
  readonly portId: string | null;
  /** The profile taught last, for the instrument that speaks it. */
  readonly profileName: string | null;
  /** A sheet being written. It is kept while another screen is looked at. */
  readonly sheetDraft: SheetDraft | null;
}

export const emptyDesk: DeskState = {
  register: null,
  sheets: null,
  lots: null,
  accounts: null,
  ports: null,
  hidLack: null,
  teach: null,
  health: null,
  profiles: null,
  instrumentId: null,
  sheetId: null,
  revision: null,
  lotId: null,
  personId: null,
  portId: null,
  profileName: null,
  sheetDraft: null,
};

export function chosenInstrument({
  register,
  instrumentId,
}: DeskState): RegisteredInstrumentView | undefined {
  return register?.find((one) => one.instrumentId === instrumentId) ?? register?.[0];
}

export function chosenSheet({ sheets, sheetId }: DeskState): SheetRevisionsView | undefined {
  return sheets?.find((one) => one.sheetId === sheetId) ?? sheets?.[0];
}

/** The revision chosen, else the newest. */
export function chosenRevision(desk: DeskState): SheetRevisionsView['revisions'][number] | undefined {
  const revisions = chosenSheet(desk)?.revisions;
  return revisions?.find(({ revision }) => revision === desk.revision) ?? revisions?.at(-1);
}

export function chosenLot({ lots, lotId }: DeskState): LotView | undefined {
  return lots?.find((one) => one.lotId === lotId) ?? lots?.[0];
}

export function chosenAccount({ accounts, personId }: DeskState): PersonAccountView | undefined {
  return accounts?.find((one) => one.personId === personId) ?? accounts?.[0];
}

export function chosenPort({ ports, portId }: DeskState): PortView | undefined {
  return ports?.find((one) => one.portId === portId) ?? ports?.[0];
}
