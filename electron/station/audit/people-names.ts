import { personEventSchema } from '../../../shared/people/person.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';

/** The name of a person by the id; the id itself for one who was never added. */
export type NamesOfPeople = (personId: string) => string;

/** Names of everybody who was ever added, also of those who have left. */
export function namesOfPeople(reader: Pick<EvidenceReader, 'readStreams'>): NamesOfPeople {
  const names = new Map<string, string>();
  for (const { body } of reader.readStreams('person/')) {
    const event = personEventSchema.parse(body);
    if (event.kind === 'personAdded') names.set(event.personId, event.name);
  }
  return (personId) => names.get(personId) ?? personId;
}
