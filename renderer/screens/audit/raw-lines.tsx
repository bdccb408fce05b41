import type { CaptureView } from '../../../shared/contract.ts';
import { fromBase64 } from '../../../shared/evidence/base64.ts';
import { hexText, printableText } from '../../wording/byte-text.ts';
import { useWording } from '../../workbench.ts';

/** The bytes as they came: time, hexadecimal and text. */
export function RawLines({ lines }: { readonly lines: CaptureView['rawLines'] }) {
  const { say, decimal } = useWording();
  return (
    <details className="raw">
      <summary>
        {say('audit.raw')} ({lines.length})
      </summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard */}
      <div className="scroll-box" tabIndex={0}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('audit.rawTime')}</th>
              <th scope="col">{say('audit.rawText')}</th>
              <th scope="col">{say('audit.rawHex')}</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line, index) => {
              const bytes = fromBase64(line.base64) ?? new Uint8Array();
              return (
                // biome-ignore lint/suspicious/noArrayIndexKey: lines have no name but their place
                <tr key={index}>
                  <td>{decimal(line.atMilliseconds.toFixed(1))}</td>
                  <td>
                    <code>{printableText(bytes)}</code>
                  </td>
                  <td>
                    <code>{hexText(bytes)}</code>
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </details>
  );
}
