import { dayOf } from '../../shared/identifier.ts';
import { instrumentEventSchema } from '../../shared/instrument/instrument.ts';
import { ok } from '../../shared/result.ts';
import { actorOf, allowed, allowedTo, type Handlers, signedIn } from './call-handler.ts';
import {
  lotView,
  type NameOf,
  personAccountView,
  registeredInstrumentView,
  sheetRevisionsView,
} from './management-views.ts';
import { stepUp } from './people/step-up.ts';
import type { Station } from './station.ts';

function namesOf(station: Station): NameOf {
  return (personId) => station.people.name(personId);
}

/** The calls behind the screens of leads and administrators. */
export const managementHandlers: Handlers<
  'manage' | 'register' | 'lots' | 'lotUses' | 'sheetRevisions' | 'peopleAdmin'
> = {
  async manage(station, screen, { command, pin, personId }) {
    const person = signedIn(station, screen);
    if (!person.ok) return person;
    const proved = await stepUp(station.people, person.value, { pin, personId }, (prover) =>
      allowedTo(prover, command.kind),
    );
    if (!proved.ok) return proved;
    const { person: prover, pinVerified } = proved.value;
    const done = await station.management.command(command, { person: actorOf(prover), pinVerified });
    if (done.ok) station.changed();
    return done;
  },

  register(station, screen) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const at = station.clock.wallTime();
    const instruments = station.bench.registry.all().map((instrument) => {
      const stored = station.store.readStream(`instrument/${instrument.instrumentId}`);
      const events = stored.map(({ body }) => instrumentEventSchema.parse(body));
      const steadiness = station.bench.steadinessOf(instrument.profileName);
      return registeredInstrumentView(instrument, events, steadiness, at, namesOf(station));
    });
    return ok({ instruments });
  },

  lots(station, screen) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const today = dayOf(station.clock.wallTime());
    return ok({ lots: station.lots.all().map((lot) => lotView(lot, today)) });
  },

  async lotUses(station, screen, parameters) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('lotUses', parameters) : person;
  },

  sheetRevisions(station, screen, { sheetId }) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const at = station.clock.wallTime();
    const states = station.sheets.registry
      .all()
      .filter((state) => sheetId === undefined || state.sheetId === sheetId);
    return ok({ sheets: states.map((state) => sheetRevisionsView(state, at, namesOf(station))) });
  },

  peopleAdmin(station, screen) {
    const person = allowed(station, screen, 'readPeople');
    if (!person.ok) return person;
    const { people } = station;
    return ok({
      people: people.registry
        .all()
        .map((account) => personAccountView(account, people.isLocked(account.personId))),
    });
  },
};
