import type { Evidence, Result } from '@twolamp/session';
import { otherFindings } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { acceptanceFigure } from '../maps/acceptance-map.js';
import { crosstalkFigure } from '../maps/crosstalk-map.js';
import { kernelTable } from '../maps/kernel-table.js';
import { packingFigure } from '../maps/packing-map.js';
import { pointingFigure } from '../maps/pointing-map.js';
import { transmissionFigure } from '../maps/transmission-map.js';
import { dipSection } from './dip-section.js';
import { findingList } from './finding-list.js';
import { photoFigure } from './photo-figure.js';
import { present, type Section } from './section.js';
import { photosTable } from './photos-table.js';
import { pullTable } from './pull-table.js';

function crosstalk(result: Result): SafeHtml | null {
  const figure = crosstalkFigure(result);
  const kernel =
    result.crosstalk && result.crosstalk.kernel.length > 0 ? kernelTable(result.crosstalk) : null;
  return figure || kernel ? html`<div class="pair">${kernel}${figure}</div>` : null;
}

function photo(result: Result, evidence: Evidence | null): SafeHtml | null {
  return evidence?.picture ? photoFigure(result, evidence.picture, evidence.pitchPx) : null;
}

/** The evidence under the answers, in the order in which a builder asks for it; what wasn't measured has no section. */
export function evidenceSections(result: Result, evidence: Evidence | null): Section[] {
  return present([
    {
      id: 'dip',
      title: 'Dip against distance',
      body: result.pairs.length > 0 ? dipSection(result, evidence) : null,
    },
    { id: 'transmission', title: 'Light of each tube', body: transmissionFigure(result) },
    { id: 'pull', title: 'Tubes that need work', body: pullTable(result) },
    { id: 'pointing', title: 'Where the tubes look', body: pointingFigure(result) },
    { id: 'acceptance', title: 'How wide they see', body: acceptanceFigure(result) },
    { id: 'crosstalk', title: 'Crosstalk', body: crosstalk(result) },
    { id: 'packing', title: 'How the tubes lie', body: packingFigure(result, evidence?.packing) },
    { id: 'photo', title: 'The photo, with the cells as found', body: photo(result, evidence) },
    { id: 'notes', title: 'Notes', body: findingList(otherFindings(result)) },
    { id: 'photos', title: 'Photos', body: photosTable(result) },
  ]);
}
