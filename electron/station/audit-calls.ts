import type { CallName } from '../../shared/contract.ts';
import { ok, refuse } from '../../shared/result.ts';
import { allowed, type Handlers } from './call-handler.ts';

type AuditCall = Extract<
  CallName,
  | 'timeline'
  | 'findSerials'
  | 'searchJobs'
  | 'searchChoices'
  | 'processChart'
  | 'checkChart'
  | 'calibratedInstruments'
  | 'savedViews'
  | 'saveView'
  | 'removeView'
  | 'startExport'
  | 'startImpact'
  | 'stopExport'
  | 'serialDocument'
>;

/** The calls of the auditor's desk. What is long is read in the reading room, beside the live readings. */
export const auditHandlers: Handlers<AuditCall> = {
  async timeline(station, screen, parameters) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('timeline', parameters) : person;
  },

  async findSerials(station, screen, parameters) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('findSerials', parameters) : person;
  },

  async searchJobs(station, screen, parameters) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('searchJobs', parameters) : person;
  },

  async searchChoices(station, screen) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('searchChoices', {}) : person;
  },

  async processChart(station, screen, parameters) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('processChart', parameters) : person;
  },

  async checkChart(station, screen, parameters) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('checkChart', parameters) : person;
  },

  async calibratedInstruments(station, screen) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? station.audit.readingRoom.ask('calibratedInstruments', {}) : person;
  },

  savedViews(station, screen) {
    const person = allowed(station, screen, 'readAudit');
    return person.ok ? ok({ views: [...station.audit.savedViews.of(person.value.personId)] }) : person;
  },

  saveView(station, screen, { view }) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const views = station.audit.savedViews.save(person.value.personId, view);
    return views.ok ? ok({ views: [...views.value] }) : views;
  },

  removeView(station, screen, { name }) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    return ok({ views: [...station.audit.savedViews.remove(person.value.personId, name)] });
  },

  async startExport(station, screen, wish) {
    const person = allowed(station, screen, 'exportEvidence');
    if (!person.ok) return person;
    return station.audit.startExport(person.value.personId, wish, (progress) =>
      screen.push({ news: 'export', progress }),
    );
  },

  startImpact(station, screen, wish) {
    const person = allowed(station, screen, 'exportEvidence');
    if (!person.ok) return person;
    return station.audit.startImpact(person.value.personId, wish, (progress) =>
      screen.push({ news: 'impact', progress }),
    );
  },

  stopExport(station, screen, { exportId }) {
    const person = allowed(station, screen, 'exportEvidence');
    return person.ok ? station.audit.exports.stop(person.value.personId, exportId) : person;
  },

  async serialDocument(station, screen, { serial, language }) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const known = await station.audit.readingRoom.ask('hasSerial', { serial });
    if (!known.ok) return known;
    if (!known.value) return refuse('serial_unknown', 'serial', 'This serial was never here; check it.');
    return ok({ url: `/documents/history/${language}/${encodeURIComponent(serial)}.pdf` });
  },
};
