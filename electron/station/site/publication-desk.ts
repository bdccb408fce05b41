import { z } from 'zod';
import { fromBase64 } from '../../../shared/evidence/base64.ts';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { Result } from '../../../shared/result.ts';
import {
  firstPublicationLink,
  type Publication,
  publicationHash,
  publicationText,
  subjectOf,
} from '../../../shared/site/publication.ts';
import { type PublicationEffect, takePublication } from '../../../shared/site/take-publication.ts';
import { isSignedBy } from '../signing-key.ts';
import type { Station } from '../station.ts';
import { sha256 } from '../store/sha256.ts';
import type { NewDocument, StreamAppend } from '../store/store.ts';
import { storeFaultOf } from '../store/store-fault.ts';

const takenSchema = z.object({ number: z.int().positive(), hash: z.string() });

/** The parts of a station that publications go into. */
export type PublicationStation = Pick<
  Station,
  'store' | 'clock' | 'simulated' | 'people' | 'sheets' | 'bench' | 'reportFault' | 'changed'
>;

/**
 * Takes what the site publishes into this bench's own evidence: only what the pinned key signed, in order, without a
 * gap. What contradicts the bench is noted and shown, and changes nothing.
 */
export class PublicationDesk {
  readonly #station: PublicationStation;
  readonly #siteKey: string;
  #disbelieved: number | null = null;
  #last: { readonly number: number; readonly hash: string };

  constructor(station: PublicationStation, siteKey: string) {
    this.#station = station;
    this.#siteKey = siteKey;
    const taken = station.store.readStream('station').findLast(({ kind }) => kind === 'publicationTaken');
    this.#last =
      taken === undefined ? { number: 0, hash: firstPublicationLink } : takenSchema.parse(taken.body);
  }

  /** Number of the last publication that needs no more looking at. */
  takenUpTo(): number {
    return this.#last.number;
  }

  /** Takes publications in order; those that were taken are passed over. Stops at one that is not to be believed. */
  take(publications: readonly Publication[]): void {
    for (const publication of publications) {
      if (publication.number <= this.#last.number) continue;
      const wrong = this.#disbelief(publication);
      if (wrong !== null) {
        this.#sayDisbelief(publication.number, wrong);
        return;
      }
      try {
        this.#takeOne(publication);
      } catch (error) {
        // The disk: it comes again with the next look.
        const fault = storeFaultOf(error);
        if (fault === undefined) throw error;
        this.#station.reportFault(fault.code, fault.message);
        return;
      }
    }
  }

  /** Once: the site sends it again at every look. */
  #sayDisbelief(number: number, wrong: string): void {
    if (this.#disbelieved === number) return;
    this.#disbelieved = number;
    const message = `Publication ${number} of the site is not taken: ${wrong}.`;
    this.#station.reportFault('site_publication', message);
  }

  #disbelief(publication: Publication): string | null {
    const { number, previousHash, keyId, signature } = publication;
    if (number !== this.#last.number + 1 || previousHash !== this.#last.hash)
      return `it does not follow number ${this.#last.number}; the site left one out or was restored from an older backup`;
    const isOurs = sha256(Buffer.from(this.#siteKey, 'base64')) === keyId;
    const text = publicationText(publication, sha256);
    if (isOurs && isSignedBy(this.#siteKey, text, fromBase64(signature) ?? new Uint8Array())) return null;
    return 'it does not bear the signature of the key that this bench knows as the site’s';
  }

  #takeOne(publication: Publication): void {
    const { sheets, people, bench, clock, simulated } = this.#station;
    const { content, number, revision } = publication;
    const hash = publicationHash(publication, sha256);
    const effect = takePublication(content, {
      at: clock.wallTime(),
      simulated,
      sheet: sheets.registry.get(subjectOf(content)),
      people: people.registry.all(),
      instruments: bench.registry.all(),
      hashOf: (certificate) => sha256(canonicalJson(certificate)),
    });
    if (effect.ok && effect.value.events.length === 0) {
      // Nothing for this bench: it is not written down, and looked at again after a start.
      this.#last = { number, hash };
      return;
    }
    const about = { number, hash, about: content.kind, subjectId: subjectOf(content), revision };
    const refusal = effect.ok ? null : effect.error;
    const taken = { kind: 'publicationTaken', body: { ...about, refused: refusal?.code ?? null } };
    const stored = this.#append(taken, effect, publication);
    this.#last = { number, hash };
    for (const { registry } of [sheets, people, bench]) registry.take(stored);
    if (refusal !== null) {
      const message = `Publication ${number} of the site (${content.kind} ${subjectOf(content)}) contradicts this bench and changes nothing here: ${refusal.message}`;
      this.#station.reportFault('site_conflict', message);
    }
    if (effect.ok && effect.value.kind === 'instrument') void bench.refresh(effect.value.id);
    if (effect.ok && effect.value.kind === 'person' && content.kind === 'person' && content.pin !== null)
      people.pinWasSet(effect.value.id);
    this.#station.changed();
  }

  /** What came, signed, and what it makes here, all or nothing. */
  #append(
    taken: { readonly kind: string; readonly body: object },
    effect: Result<PublicationEffect>,
    publication: Publication,
  ): readonly StoredEvent[] {
    const { store } = this.#station;
    const documents: NewDocument[] = [{ kind: 'publication', body: publication }];
    const also: StreamAppend[] = [];
    if (effect.ok) {
      const plan = this.#plan(effect.value);
      also.push(plan);
      if (publication.content.kind === 'certificate')
        documents.push({ kind: 'certificate', body: publication.content.certificate });
    }
    const stored = store.append({
      ...{ stream: 'station', expectedVersion: store.versionOf('station'), personId: null },
      ...{ events: [taken], also, documents },
    });
    if (!stored.ok) throw new Error(stored.error.message);
    return stored.value;
  }

  #plan(effect: PublicationEffect): StreamAppend {
    const { sheets, people, bench } = this.#station;
    switch (effect.kind) {
      case 'sheet':
        return sheets.registry.plan(effect.id, effect.events);
      case 'person':
        return people.registry.plan(effect.id, effect.events);
      case 'instrument':
        return bench.registry.plan(effect.id, effect.events);
    }
  }
}
