import { useMemo, useRef, useState } from 'preact/hooks';
import type { CoolerView } from '../../../../../schema/types';
import { coolers } from '../../../journal/records/input';
import { houses, sites } from '../../../journal/records/registers';
import { intent, save } from '../../../journal/outbox/write';
import { voidSaved } from '../../../forms/saving';
import { SelectField, TextField } from '../../../forms/fields';
import { wordsTyped } from '../../../forms/typed';
import { Button } from '../../../parts/Button';
import { say, sayNotSaved } from '../../../parts/Toast';
import { go, Link } from '../../../router';
import { nameOfHouse } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { held, useView } from '../../../views/views';
import { FileButton } from '../FileButton';
import { Page, Section } from '../Page';
import { textOf } from '../sheet/cells';
import { LoggerAsks } from './LoggerAsks';
import { MOST_CHARACTERS } from './loggerLines';
import { LoggerPreview, SAID } from './LoggerPreview';
import { isOpen, partsOf, shared, type Answers, type Problem } from './logger';
import { turnByTurn } from './pieces';
import { hashOf, useReading } from './reading';
import '../../../style/supervisor-plan.css';
import '../../../style/supervisor-cooler.css';

/** No character takes more, in any of the ways in which text is written down. */
const BYTES_EACH = 4;

interface Chosen {
  name: string;
  text: string;
  source: string;
}

/** A logger's file, seen before anything of it is written. */
export function LoggerFile() {
  return (
    <Page
      here="plan"
      title={() => supervisorWords.value.logger.title}
      loaded={held(true)}
      onTryAgain={() => location.reload()}
      above={() => <Link to="/plan/cooler">{supervisorWords.value.logger.up}</Link>}
    >
      {() => <Choose />}
    </Page>
  );
}

function Choose() {
  const words = supervisorWords.value.logger;
  const [file, choose] = useState<Chosen | undefined>(undefined);
  const [answers, answer] = useState<Answers>({});
  const [failed, fail] = useState<'unreadable' | 'too_large' | undefined>(undefined);
  const last = useRef<File | undefined>(undefined);
  const take = async (given: File) => {
    last.current = given;
    if (given.size > BYTES_EACH * MOST_CHARACTERS) return fail('too_large');
    try {
      const bytes = await given.arrayBuffer();
      const source = await turnByTurn(
        hashOf(new Uint8Array(bytes)),
        () => undefined,
        () => last.current === given,
      );
      if (source === undefined) return;
      fail(undefined);
      answer({});
      choose({ name: given.name, text: textOf(bytes), source });
    } catch {
      fail('unreadable');
    }
  };
  return (
    <>
      <p class="intro">{words.intro}</p>
      <p class="actions">
        <FileButton
          label={file ? words.another : words.choose}
          accept=".csv,.tsv,.txt,text/csv,text/plain"
          onFile={(given) => void take(given)}
        />
      </p>
      {failed && (
        <p class="warning" role="alert">
          {failed === 'unreadable' ? words.unreadable : said({ code: 'too_large', most: MOST_CHARACTERS / 1_000_000 })}
        </p>
      )}
      {file && (
        <Read key={file.source} file={file} answers={answers} onAnswer={(more) => answer({ ...answers, ...more })} />
      )}
    </>
  );
}

interface ReadProps {
  file: Chosen;
  answers: Answers;
  onAnswer: (more: Answers) => void;
}

function Read({ file, answers, onAnswer }: ReadProps) {
  const words = supervisorWords.value.logger;
  const { view, fresh } = useView<CoolerView>('cooler');
  const [spot, setSpot] = useState('');
  const [cooler, ...others] = coolers();
  const [house, setHouse] = useState(others.length === 0 ? (cooler?.id ?? '') : '');
  const zone = [...sites.value.values()][0]?.time_zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  const { reading, done } = useReading(file.text, answers, zone);
  const where = wordsTyped(spot, 'trace', 'spot', words.spot);
  const before = view?.files.find((each) => each.source === file.source);
  const write = async () => {
    if (!reading) return;
    const parts = shared(partsOf(reading.values, reading.every));
    const body = { house, source: file.source, ...(where.value ? { spot: where.value } : {}) };
    try {
      const saved = await save(parts.map((of) => intent('trace', { ...body, parts: of })));
      say(words.saved(reading.values.length, nameOfHouse(house)), () => void voidSaved(saved));
      go('/plan/cooler');
    } catch (error) {
      sayNotSaved(error);
    }
  };
  // What takes but one turn does not make the page jump.
  const shown = done !== undefined && done > 0 ? undefined : reading;
  const isReady = shown !== undefined && !isOpen(shown) && shown.problem === undefined;
  // Whoever types where it hangs does not wait for thousands of lines to be drawn again.
  const preview = useMemo(() => isReady && <LoggerPreview reading={shown} />, [isReady, shown]);
  return (
    <Section title={words.chosen(file.name)} class="logger">
      {before && <p class="warning">{words.already(nameOfHouse(before.house), before.spot)}</p>}
      {!fresh && <p class="stale">{words.elsewhere}</p>}
      {reading && <LoggerAsks reading={reading} answers={answers} onAnswer={onAnswer} />}
      {done !== undefined && done > 0 && (
        <div role="status">
          <p>{words.reading}</p>
          <progress value={done} max={1} aria-label={words.reading} />
        </div>
      )}
      {shown?.problem && (
        <p class="warning" role="alert">
          {said(shown.problem, shown.asks.includes('order'))} {words.nothing}
        </p>
      )}
      {shown && isOpen(shown) && <p role="status">{words.answer}</p>}
      {isReady && (
        <>
          {preview}
          <SelectField
            label={words.house}
            value={house}
            none={words.chooseHouse}
            options={[...houses.value.values()]
              .sort(
                (a, b) => Number(b.use === 'cooler') - Number(a.use === 'cooler') || (a.order ?? 0) - (b.order ?? 0),
              )
              .map((each) => ({ value: each.id, label: each.name ?? '' }))}
            onChoose={setHouse}
          />
          <TextField
            label={words.spot}
            typed={spot}
            answer={where}
            tried
            note={words.spotHint}
            list={spotsOf(view, house)}
            onType={setSpot}
          />
          <Button
            kind="main"
            disabled={house === '' || where.problem !== undefined || before !== undefined || done !== undefined}
            onClick={() => void write()}
          >
            {words.save(shown.values.length)}
          </Button>
        </>
      )}
    </Section>
  );
}

function spotsOf(view: CoolerView | undefined, house: string): string[] {
  return [...new Set((view?.files ?? []).flatMap((file) => (file.house === house && file.spot ? [file.spot] : [])))];
}

/** What is wrong with the file, and what to do. isAsked says that the page asks which number of a day is the month. */
function said(problem: Problem, isAsked = false): string {
  const words = supervisorWords.value.logger.problem;
  const text = 'said' in problem ? problem.said.slice(0, SAID) : '';
  switch (problem.code) {
    case 'no_values':
    case 'few':
      return words[problem.code]();
    case 'no_time_of_day':
      return words.no_time_of_day(problem.line);
    case 'columns':
      return words.columns(problem.line, problem.cells, problem.headings);
    case 'too_large':
      return words.too_large(problem.most);
    case 'clash':
      return words.clash(problem.line, text, problem.other);
    case 'no_such_day':
    case 'future':
      return words[problem.code](problem.line, text, isAsked);
    default:
      return words[problem.code](problem.line, text);
  }
}
