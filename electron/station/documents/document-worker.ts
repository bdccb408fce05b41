import { parentPort, workerData } from 'node:worker_threads';
import { z } from 'zod';
import { stepBehind } from '../audit/background-thread.ts';
import { openEvidence } from '../store/open-store.ts';
import type { DocumentMessage, DocumentWish } from './document-run.ts';
import { type DocumentOptions, makeDocument, makeSerialDocument } from './make-document.ts';
import { documentLanguages } from './wording/wording.ts';

stepBehind(5);

const options = {
  language: z.enum(documentLanguages).optional(),
  paper: z.enum(['a4', 'letter']).optional(),
};
const inputSchema = z.object({
  folder: z.string(),
  wish: z.union([
    z.object({ kind: z.enum(['record', 'label']), jobId: z.string(), ...options }),
    z.object({ kind: z.literal('history'), serial: z.string(), ...options }),
  ]) satisfies z.ZodType<DocumentWish>,
});

async function make(): Promise<Uint8Array | undefined> {
  const { folder, wish } = inputSchema.parse(workerData);
  const how: DocumentOptions = { language: wish.language, paper: wish.paper };
  const evidence = openEvidence(folder);
  try {
    return wish.kind === 'history'
      ? await makeSerialDocument(evidence, wish.serial, how)
      : await makeDocument(evidence, wish.jobId, wish.kind, how);
  } finally {
    evidence.close();
  }
}

let message: DocumentMessage;
try {
  const pdf = await make();
  message = { kind: 'made', pdf: pdf && new Uint8Array(pdf) };
} catch (error) {
  const fault = error instanceof Error ? error : new Error(String(error));
  const code = 'code' in fault ? String(fault.code) : null;
  message = { kind: 'fault', name: fault.name, code, message: fault.message };
}
parentPort?.postMessage(message);
