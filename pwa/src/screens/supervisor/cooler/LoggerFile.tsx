import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { useMemo, useState } from 'preact/hooks';
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
import { readLines } from './loggerLines';
import { LoggerPreview } from './LoggerPreview';
import { isOpen, partsOf, readLogger, shared, type Answers, type Problem } from './logger';
import '../../../style/supervisor-plan.css';
import '../../../style/supervisor-cooler.css';

/** So much of a line is shown. */
const LONGEST = 60;

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
  const [failed, fail] = useState(false);
  const take = async (given: File) => {
    try {
      const bytes = await given.arrayBuffer();
      fail(false);
      answer({});
      choose({ name: given.name, text: textOf(bytes), source: bytesToHex(sha256(new Uint8Array(bytes))) });
    } catch {
      fail(true);
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
          {words.unreadable}
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
  const { time, temp } = answers;
  // Of a long file this takes a second or two, and most answers change nothing of it.
  const lines = useMemo(() => readLines(file.text, { time, temp }), [file, time, temp]);
  const reading = useMemo(() => readLogger(lines, answers, zone, Date.now()), [lines, answers, zone]);
  const where = wordsTyped(spot, 'trace', 'spot', words.spot);
  const before = view?.files.find((each) => each.source === file.source);
  const write = async () => {
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
  const isReady = !isOpen(reading) && reading.problem === undefined;
  return (
    <Section title={words.chosen(file.name)} class="logger">
      {before && <p class="warning">{words.already(nameOfHouse(before.house), before.spot)}</p>}
      {!fresh && <p class="stale">{words.elsewhere}</p>}
      <LoggerAsks reading={reading} answers={answers} onAnswer={onAnswer} />
      {reading.problem && (
        <p class="warning" role="alert">
          {said(reading.problem)} {words.nothing}
        </p>
      )}
      {isOpen(reading) && <p role="status">{words.answer}</p>}
      {isReady && (
        <>
          <LoggerPreview reading={reading} />
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
            disabled={house === '' || where.problem !== undefined || before !== undefined}
            onClick={() => void write()}
          >
            {words.save(reading.values.length)}
          </Button>
        </>
      )}
    </Section>
  );
}

function spotsOf(view: CoolerView | undefined, house: string): string[] {
  return [...new Set((view?.files ?? []).flatMap((file) => (file.house === house && file.spot ? [file.spot] : [])))];
}

/** What is wrong with the file, and what to do. */
function said(problem: Problem): string {
  const words = supervisorWords.value.logger.problem;
  const text = 'said' in problem ? problem.said.slice(0, LONGEST) : '';
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
    default:
      return words[problem.code](problem.line, text);
  }
}
