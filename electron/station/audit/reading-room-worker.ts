import { parentPort, workerData } from 'node:worker_threads';
import { z } from 'zod';
import { openDatabaseToRead } from '../store/database.ts';
import { storeFaultOf, withFaults } from '../store/store-fault.ts';
import { stepBehind } from './background-thread.ts';
import type { RoomMessage, RoomRequest } from './reading-room.ts';
import { type ReadingRoomSources, readingRoomQuestions, readingRoomSources } from './reading-room-calls.ts';

const { folder } = z.object({ folder: z.string() }).parse(workerData);

// Somebody waits for the answer, but a live reading comes first.
stepBehind(5);

let sources: ReadingRoomSources | undefined;

/** Opened at the first question: a database that cannot be opened is the answer to it, not the end of the thread. */
function openSources(): ReadingRoomSources {
  sources ??= withFaults(() => readingRoomSources(openDatabaseToRead(folder), () => performance.now()));
  return sources;
}

function answerOf({ id, name, parameters }: RoomRequest): RoomMessage {
  try {
    const question = readingRoomQuestions[name];
    const answer = question.answer as (sources: ReadingRoomSources, parameters: unknown) => unknown;
    const result = answer(openSources(), question.parameters.parse(parameters));
    return { id, kind: 'answer', result };
  } catch (error) {
    const fault = storeFaultOf(error) ?? (error instanceof Error ? error : new Error(String(error)));
    const code = 'code' in fault ? String(fault.code) : null;
    return { id, kind: 'fault', name: fault.name, code, message: fault.message };
  }
}

parentPort?.on('message', (request: RoomRequest) => parentPort?.postMessage(answerOf(request)));
