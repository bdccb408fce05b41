/** Pages of a first run, in their order. */
export type SettingUpPage = 'choice' | 'workshop' | 'administrator' | 'pin' | 'again' | 'done';

/** What has been typed at a first run so far; nothing of it is written down before the last page. */
export interface SettingUp {
  readonly page: SettingUpPage;
  readonly workshop: string;
  readonly administrator: string;
  readonly pin: string;
  /** Where it lies and the id of its key, once it is done. */
  readonly dataFolder: string;
  readonly keyId: string;
}

export const beginning: SettingUp = {
  page: 'choice',
  workshop: '',
  administrator: '',
  pin: '',
  dataFolder: '',
  keyId: '',
};

/** The page before, for whoever wants to correct something. */
export function pageBefore(page: SettingUpPage): SettingUpPage | null {
  switch (page) {
    case 'workshop':
      return 'choice';
    case 'administrator':
      return 'workshop';
    case 'pin':
      return 'administrator';
    case 'again':
      return 'pin';
    case 'choice':
    case 'done':
      return null;
  }
}
