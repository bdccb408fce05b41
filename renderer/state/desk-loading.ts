import { mayDo } from '../../shared/people/permission.ts';
import type { Role } from '../../shared/people/role.ts';
import type { StationClient } from '../station-client.ts';
import type { DeskState } from './desk-state.ts';
import type { ScreenName } from './screen-store.ts';

/** Fetches what a screen of leads and administrators shows; only what these roles may see. Failures give nothing. */
export async function fetchDesk(
  screen: ScreenName,
  roles: readonly Role[],
  call: StationClient['call'],
): Promise<Partial<DeskState>> {
  switch (screen) {
    case 'instruments': {
      const [answer, ports] = await Promise.all([call('register', {}), call('ports', {})]);
      return {
        ...(answer.ok ? { register: answer.value.instruments } : {}),
        ...(ports.ok ? ports.value : {}),
      };
    }
    case 'sheets': {
      const answer = await call('sheetRevisions', {});
      return answer.ok ? { sheets: answer.value.sheets } : {};
    }
    case 'stock': {
      const answer = await call('lots', {});
      return answer.ok ? { lots: answer.value.lots } : {};
    }
    case 'people': {
      if (!mayDo(roles, 'readPeople')) return { accounts: null };
      const answer = await call('peopleAdmin', {});
      return answer.ok ? { accounts: answer.value.people } : {};
    }
    case 'teach': {
      const [ports, teach] = await Promise.all([call('ports', {}), call('teach', {})]);
      return { ...(ports.ok ? ports.value : {}), ...(teach.ok ? { teach: teach.value } : { teach: null }) };
    }
    case 'health': {
      if (!mayDo(roles, 'readHealth')) return { health: null };
      const answer = await call('health', {});
      return { health: answer.ok ? answer.value : 'failed' };
    }
    default:
      return {};
  }
}
