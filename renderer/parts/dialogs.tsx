import { CertificateDialog } from '../screens/instruments/certificate-dialog.tsx';
import { useSituation } from '../workbench.ts';
import { HelpDialog } from './help-dialog.tsx';
import { HistoryDialog } from './history-dialog.tsx';
import { MenuDialog } from './menu-dialog.tsx';
import { QuestionDialog } from './question-dialog.tsx';
import { WhyDialog } from './why-dialog.tsx';

/** The one dialog that is open, if any. */
export function Dialogs() {
  const { dialog } = useSituation().screen;
  switch (dialog?.kind) {
    case undefined:
      return null;
    case 'help':
      return <HelpDialog />;
    case 'menu':
      return <MenuDialog menu={dialog.menu} />;
    case 'why':
      return <WhyDialog />;
    case 'history':
      return <HistoryDialog timeline={dialog.timeline} />;
    case 'question':
      return <QuestionDialog question={dialog.question} />;
    case 'certificate':
      return <CertificateDialog instrumentId={dialog.instrumentId} />;
  }
}
