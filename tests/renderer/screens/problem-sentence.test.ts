import { describe, expect, it } from 'vitest';
import { problemSentences } from '../../../renderer/screens/audit/problem-sentence.ts';
import { createWording } from '../../../renderer/wording/wording.ts';
import { type Finding, finding } from '../../../shared/audit/finding.ts';

const german = createWording('de');

function said(found: Finding, kind: 'altered' | 'judgement' | 'database' | 'key' = 'altered') {
  const ofJob = kind === 'altered' || kind === 'judgement';
  const problem = {
    kind,
    serial: ofJob ? 'SLT-1001' : null,
    jobId: ofJob ? 'job-7' : null,
    stream: kind === 'key' ? 'station' : null,
    sequence: 40,
    finding: found,
  };
  return problemSentences(problem, german);
}

describe('what a check of the evidence finds, on a German screen', () => {
  it('names the serial, the job and the event in German, and what kind of event it was', () => {
    expect(said(finding('eventAltered', { event: 40, kind: 'measurementCaptured' }))).toEqual([
      'Nummer SLT-1001, Nr. 40: etwas wurde verändert.',
      'Arbeit job-7: Eintrag 40 (Messung übernommen) wurde verändert: Seine Prüfsumme passt nicht.',
    ]);
  });

  it('says a decision in the words of the bench', () => {
    const [, sentence] = said(finding('decisionDiffers', { again: 'pass', recorded: 'fail' }), 'judgement');
    expect(sentence).toBe('Arbeit job-7: Neu beurteilt ist es „BESTANDEN“, nicht „NICHT BESTANDEN“.');
  });

  it('quotes what the system says as it stands', () => {
    const message = 'database disk image is malformed';
    expect(said(finding('fileDamaged', { message }), 'database')).toEqual([
      'Die Datenbankdatei selbst ist beschädigt oder verändert.',
      'Die Datenbankdatei ist beschädigt: „database disk image is malformed“.',
    ]);
  });

  it('names what is no job by its stream', () => {
    const [, sentence] = said(finding('keyUnusable', { event: 9 }), 'key');
    expect(sentence).toBe('station: Eintrag 9 führt keinen brauchbaren Schlüssel ein.');
  });
});
