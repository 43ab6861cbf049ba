import { Fragment } from 'preact';
import type { ApplicationLine, ApplicationLog as Log } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { StepCautions } from '../../../parts/Caution';
import { Link } from '../../../router';
import { word } from '../../../words/entry';
import { dateTime, there } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { supervisorWords } from '../../../words/supervisor';
import { useBedNames } from '../names';
import { Part } from './Parts';

/** What was put on, when, on which beds, and until when that closes them; for the screen and the printer. */
export function ApplicationLog() {
  return (
    <Part<Log> here="log" path="applications" title={() => supervisorWords.value.log.title}>
      {(log) => <All log={log} />}
    </Part>
  );
}

/** With its year, this one too: paper is read later. */
function dated(ms: number): string {
  return dateTime(ms, 0);
}

function All({ log }: { log: Log }) {
  const words = supervisorWords.value.log;
  const nameOf = useBedNames();
  const beds = (line: ApplicationLine) => line.beds.map(nameOf).join(' · ');
  // The names of beds come by themselves, a moment later; paper without them would say nothing.
  const isNameless = log.lines.every((line) => line.beds.every((bed) => nameOf(bed) === ''));
  const purposes = workWords.value.work.application.purposes;
  return (
    <>
      <StepCautions steps={['regulator']} />
      <p class="intro">{words.record}</p>
      {log.lines.length === 0 ? (
        <p>{words.empty}</p>
      ) : (
        <>
          <p class="actions printlog">
            <Button disabled={isNameless} onClick={() => print()}>
              {words.print}
            </Button>
          </p>
          <DataTable
            caption={words.title}
            captionUnseen
            stacks
            rows={log.lines}
            keyOf={({ id }) => id}
            columns={[
              {
                key: 'ended',
                title: words.table.ended,
                heads: true,
                by: ({ ended_at: at }) => at,
                cell: ({ ended_at: at, started_at: from }) => (
                  <>
                    <span class="nowrap">{dated(at)}</span>
                    {from !== undefined && <span class="block small nowrap">{words.began(dated(from))}</span>}
                  </>
                ),
              },
              {
                key: 'what',
                title: words.table.what,
                by: ({ active }) => active,
                cell: (line) => (
                  <>
                    {word(purposes, line.purpose)}: {line.active}
                    {line.product && <span class="block">{line.product}</span>}
                    {line.reg_no && <span class="block small">{words.regNo(line.reg_no)}</span>}
                    {line.words && <span class="block small">{line.words}</span>}
                  </>
                ),
              },
              { key: 'amount', title: words.table.amount, cell: ({ amount }) => amount || words.notWritten },
              {
                key: 'where',
                title: words.table.where,
                by: beds,
                cell: (line) => (
                  <>
                    {beds(line)}
                    <span class="block">
                      {line.put_on?.map(({ lot, tag }, nth) => (
                        <Fragment key={lot}>
                          {nth > 0 && ', '}
                          <Link to={`/lots/${lot}`} class="nowrap">
                            {tag}
                          </Link>
                        </Fragment>
                      ))}
                    </span>
                  </>
                ),
              },
              {
                key: 'until',
                title: words.table.until,
                by: ({ until }) => until,
                cell: (line) => (
                  <>
                    {words.hours(line.entry_hours)}
                    <span class={line.until > Date.now() ? 'block attention' : 'block'}>
                      {(line.until > Date.now() ? words.closed : words.over)(there(dated(line.until), line.until))}
                    </span>
                  </>
                ),
              },
              {
                key: 'who',
                title: words.table.who,
                by: ({ person_name: name }) => name,
                cell: (line) => line.person_name,
              },
            ]}
          />
          {log.older > 0 && <p class="small quiet">{words.older(log.older)}</p>}
        </>
      )}
    </>
  );
}
