import { Choice } from '../../../parts/Choice';
import { supervisorWords } from '../../../words/supervisor';
import type { Answers, Ask, Reading } from './logger';
import { CLOCKS } from './loggerTimes';

interface Props {
  reading: Reading;
  answers: Answers;
  onAnswer: (more: Answers) => void;
}

/** What the file does not say by itself: which columns, which unit, day or month first, and which clock. */
export function LoggerAsks({ reading, answers, onAnswer }: Props) {
  const words = supervisorWords.value.logger.ask;
  const asks = (ask: Ask) => reading.asks.includes(ask);
  const unit = reading.unit ?? 'C';
  const other = unit === 'C' ? 'F' : 'C';
  return (
    <div class="asks">
      {asks('time') && (
        <Choice
          size="tap"
          legend={words.time}
          options={reading.times.map(({ at, name }) => ({ value: at, label: name }))}
          value={answers.time}
          onChoose={(time) => onAnswer({ time })}
        />
      )}
      {asks('temp') && (
        <Choice
          size="tap"
          legend={words.temp}
          options={reading.temps.map(({ at, name }) => ({ value: at, label: name }))}
          value={answers.temp}
          onChoose={(temp) => onAnswer({ temp })}
        />
      )}
      {asks('order') && (
        <Choice
          size="tap"
          legend={words.order(reading.orderOf)}
          options={[
            { value: 'day', label: words.dayFirst },
            { value: 'month', label: words.monthFirst },
          ]}
          value={answers.dayFirst === undefined ? undefined : answers.dayFirst ? 'day' : 'month'}
          onChoose={(first) => onAnswer({ dayFirst: first === 'day' })}
        />
      )}
      {asks('unit') ? (
        <Choice
          size="tap"
          legend={words.unit}
          options={[
            { value: 'C', label: '°C' },
            { value: 'F', label: '°F' },
          ]}
          value={answers.unit}
          onChoose={(chosen) => onAnswer({ unit: chosen as 'C' | 'F', sure: undefined })}
        />
      ) : (
        reading.unit && <p>{supervisorWords.value.logger.unitFound(`°${reading.unit}`)}</p>
      )}
      {asks('clock') && (
        <>
          <Choice
            size="tap"
            legend={words.clock}
            columns={1}
            options={CLOCKS.map((clock) => ({ value: clock, label: words.clocks[clock] }))}
            value={answers.clock}
            onChoose={(clock) => onAnswer({ clock })}
          />
          <p class="small quiet">{words.clockNote}</p>
        </>
      )}
      {asks('sure') && (
        <Choice
          size="tap"
          legend={unit === 'C' ? words.sureF : words.sureC}
          options={[
            { value: 'yes', label: words.yes(`°${unit}`) },
            { value: 'no', label: words.no(`°${other}`) },
          ]}
          value={answers.sure ? 'yes' : undefined}
          onChoose={(sure) => onAnswer(sure === 'yes' ? { sure: true } : { unit: other, sure: undefined })}
        />
      )}
    </div>
  );
}
