import type { WallPrediction } from '@twolamp/plan';
import { significant } from '@twolamp/words';
import type { JSX } from 'preact';
import type { PlanAnswer } from '../../worker/plan-worker.js';

const metres = (mm: number) => `${significant(mm / 1000, 3)} m`;

function reach({ resolving }: WallPrediction): string {
  return resolving.bound === 'nearer' ? 'at no distance' : `up to ${metres(resolving.distanceMm)}`;
}

function exposure(seconds: number): string {
  if (seconds < 90) return `${significant(seconds, 2)} s`;
  return seconds < 5400 ? `${Math.round(seconds / 60)} min` : `${significant(seconds / 3600, 2)} h`;
}

/** What theory expects, one wall a line. */
export function Prediction({ answer: { plan, remarks } }: { answer: PlanAnswer }): JSX.Element {
  const { predictions, request } = plan;
  const exposed = predictions.some(({ exposureS }) => exposureS !== null);
  return (
    <>
      <h3>What to expect</h3>
      <div class="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">Inside of the tubes</th>
              <th scope="col">Lamps {request.spacingMm} mm apart show as two</th>
              <th scope="col">A tube sees</th>
              <th scope="col">Light as behind</th>
              {exposed && <th scope="col">Exposure</th>}
            </tr>
          </thead>
          <tbody>
            {predictions.map((one) => (
              <tr key={one.wall} class={one.stated ? 'stated' : ''}>
                <th scope="row">{one.wall}</th>
                <td class="number">{reach(one)}</td>
                <td class="number">{significant(one.acceptanceWidthDeg, 2)}°</td>
                <td class="number">f/{significant(one.fNumber, 2)}</td>
                {exposed && <td class="number">{one.exposureS === null ? '' : exposure(one.exposureS)}</td>}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <details class="remarks">
        <summary>What to know before you shoot</summary>
        <ul>
          {remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      </details>
    </>
  );
}
