import { mayDo } from '../../shared/people/permission.ts';
import { type ScreenName, screenNames } from '../state/screen-store.ts';
import { isAtOtherDesks } from '../state/situation.ts';
import type { Action } from './action.ts';

function goTo(screen: ScreenName): Action {
  return {
    id: `go-to-${screen}`,
    key: null,
    place: 'screens menu',
    label: () => `screen.${screen}`,
    offered: ({ snapshot }) =>
      snapshot?.readOnly === true
        ? isAtOtherDesks(screen)
        : screen === 'health'
          ? mayDo(snapshot?.signedIn?.roles ?? [], 'readHealth')
          : screen === 'bench' || screen === 'settings' || (snapshot?.signedIn ?? null) !== null,
    enabled: (situation) => situation.screen.screen !== screen,
    run(_situation, hands) {
      hands.set({ screen, notice: null, dialog: null });
    },
  };
}

/** One action for each screen. */
export const goToScreens: readonly Action[] = screenNames.map(goTo);
