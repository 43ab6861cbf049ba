/** Everything that the nursery has, as files: one page. */
import Papa from 'papaparse';
import { useState } from 'preact/hooks';
import { sites } from '../../../journal/records/registers';
import { ask } from '../../../journal/wire';
import { dayOf } from '../../../forms/days';
import { Button } from '../../../parts/Button';
import { Link } from '../../../router';
import { me } from '../../../state';
import { supervisorWords } from '../../../words/supervisor';
import { held } from '../../../views/views';
import { Page, Section } from '../Page';
import { SetupParts } from '../setup/SetupParts';
import { sheetUnits } from '../sheet/asked';
import { Trouble, useSending } from '../Trouble';
import { bedsAndLots } from './bedsAndLots';
import type { Table } from './workbook';

/** In the order of what people ask for; each is a table of the server's. */
const tables = [
  'pots',
  'lot',
  'bed',
  'house',
  'span',
  'booking',
  'person',
  'task',
  'profile',
  'cultivar',
  'round',
  'matter',
  'site',
] as const;

type TableName = (typeof tables)[number];

export default function Out() {
  return (
    <Page
      here="setup"
      title={() => supervisorWords.value.out.title}
      loaded={held(true)}
      onTryAgain={() => location.reload()}
    >
      {() => (
        <>
          <SetupParts here="out" />
          <Files />
          <Printed />
        </>
      )}
    </Page>
  );
}

/** "Quillfen lots 2026-11-29.xlsx": whose, what, of which day. */
function nameOf(what: string, ending: string): string {
  const site = [...sites.value.values()][0]?.name ?? me.value?.site_name ?? '';
  return `${site} ${what} ${dayOf(Date.now())}`.trim().replace(/[/\\:*?"<>|]/g, '-') + ending;
}

function download(name: string, content: BlobPart, media: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([content], { type: media }));
  link.download = name;
  link.click();
  // The browser has taken what it needs once the click was handled; a large file may still be on its way to the disk.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** The mark at the start makes spreadsheets read it as UTF-8; text that begins like a formula gets an apostrophe, as the server's does. */
function csvOf(rows: readonly (readonly (string | number)[])[]): string {
  return `\uFEFF${Papa.unparse(rows as (string | number)[][], { escapeFormulae: true, newline: '\r\n' })}`;
}

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

async function downloadWorkbook(what: string, tables: readonly Table[]) {
  const { workbookOf } = await import('./workbook');
  download(nameOf(what, '.xlsx'), (await workbookOf(tables)) as BlobPart, XLSX);
}

/** All rows of a table of the server's. A season of pots takes a while over a slow line. */
async function fetched(table: TableName): Promise<Table> {
  const { rowsOf } = await import('./workbook');
  const rows = (await ask(`/api/out/json/${table}`, {}, 10 * 60_000)) as object[];
  return { name: supervisorWords.value.out.table[table], rows: rowsOf(rows) };
}

function Files() {
  const words = supervisorWords.value.out;
  const { trouble, attempt } = useSending();
  const [making, make] = useState('');
  const work = (what: string, of: () => Promise<void>) => {
    make(what);
    void attempt(of).finally(() => make(''));
  };
  const units = sheetUnits();
  const own = words.bedsAndLots;
  return (
    <Section title={words.files} class="out-files">
      <p>{words.intro}</p>
      <Trouble said={trouble} />
      <p role="status">{making === '' ? '' : words.making(making)}</p>
      <ul class="ruled">
        <li class="all">
          <span>
            <b>{words.all}</b> <span class="small quiet">{words.allNote}</span>
          </span>
          <span class="actions">
            <Button
              disabled={making !== ''}
              onClick={() =>
                work(words.all, async () => {
                  const all = [];
                  for (const table of tables) all.push(await fetched(table));
                  await downloadWorkbook(words.all, all);
                })
              }
            >
              XLSX
            </Button>
            <a class="button plain tap" href="/api/out/notes.jsonl" download="">
              {words.notes}
            </a>
          </span>
        </li>
        <li>
          <span>
            <b>{own}</b> <span class="small quiet">{words.bedsAndLotsNote}</span>
          </span>
          <span class="actions">
            <Button
              onClick={() => download(nameOf(own, '.csv'), csvOf(bedsAndLots(units)), 'text/csv')}
              aria-label={`CSV: ${own}`}
            >
              CSV
            </Button>
            <Button
              disabled={making !== ''}
              onClick={() => work(own, () => downloadWorkbook(own, [{ name: own, rows: bedsAndLots(units) }]))}
              aria-label={`XLSX: ${own}`}
            >
              XLSX
            </Button>
          </span>
        </li>
        {tables.map((table) => (
          <li key={table}>
            <span>
              <b>{words.table[table]}</b> <span class="small quiet">{words.about[table]}</span>
            </span>
            <span class="actions">
              <a
                class="button plain tap"
                href={`/api/out/csv/${table}`}
                download=""
                aria-label={`CSV: ${words.table[table]}`}
              >
                CSV
              </a>
              <Button
                disabled={making !== ''}
                aria-label={`XLSX: ${words.table[table]}`}
                onClick={() =>
                  work(words.table[table], async () => downloadWorkbook(words.table[table], [await fetched(table)]))
                }
              >
                XLSX
              </Button>
              <a
                class="button plain tap"
                href={`/api/out/json/${table}`}
                download=""
                aria-label={`JSON: ${words.table[table]}`}
              >
                JSON
              </a>
            </span>
          </li>
        ))}
      </ul>
      <p class="small quiet">{words.server}</p>
    </Section>
  );
}

/** What there is on paper, and where it is printed. */
function Printed() {
  const words = supervisorWords.value.out;
  const papers = [
    { to: '/plan/week', label: words.week, note: words.weekNote },
    { to: '/plan/work', label: words.work, note: words.workNote },
    { to: '/beds', label: words.bedReport, note: words.bedReportNote },
    { to: '/lots', label: words.lotReport, note: words.lotReportNote },
    { to: '/tags', label: words.tags, note: words.tagsNote },
  ];
  return (
    <Section title={words.paper} class="out-files">
      <ul class="ruled">
        {papers.map(({ to, label, note }) => (
          <li key={to}>
            <span class="small quiet">{note}</span>
            <Link to={to} class="button plain tap">
              {label}
            </Link>
          </li>
        ))}
      </ul>
    </Section>
  );
}
