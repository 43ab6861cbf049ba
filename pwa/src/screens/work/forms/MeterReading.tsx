import { limits } from '../../../../../schema/limits';
import type { Reading } from '../../../../../schema/types';
import { dewPoint, heatBand, heatIndex, lightOf, photonFlux, vapourDeficit } from '../../../../../sync/climate/air';
import { intent } from '../../../journal/outbox/write';
import { Choice } from '../../../parts/Choice';
import { workWords } from '../../../words/rooms';
import { number, temperature } from '../../../words/format';
import { Hazards } from '../Cautions';
import { SelectField, TextField, WordsField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import type { Location } from '../../../forms/place';
import { onlyBed } from '../../../forms/place';
import { amount, given, problemsOf, wayOf, wordsTyped, type Answer, type Measure } from '../../../forms/typed';

/**
 * Outside these a reading is looked at again before it is saved, never refused. pH 4.5 to 5.5 suits azaleas (University
 * of Illinois RPD 664, 1988), and no pot plant lives far off; the others are common practice, no source.
 */
const usual = {
  ph_c: [350, 750],
  ec_us_cm: [0, 6000],
  light_umol: [0, 2200],
  light_fc: [0, 11_000],
  temp_dc: [-50, 450],
  medium_dc: [0, 400],
} as const;

/**
 * 91 °F, where OSHA's heat index guide begins to ask for care (docslib.org/doc/11368942). The index of damp air is higher
 * than its temperature, so this is late rather than early.
 */
const HOT_DC = 328;

/** What an instrument showed about a bed, a lot or the house, typed in the units of the person and the meter. */
export function MeterReading({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('reading', place, { ec_unit: 'ec_ms', light_unit: 'light' });
  if (!form) return <Opening title={words.forms.reading} />;
  const names = words.reading;
  const ecMeasure: Measure = form.at('ec_unit') === 'ec_us' ? 'ec_us' : 'ec_ms';
  const read = (field: keyof typeof limits.reading, name: string, measure: Measure) =>
    amount(form.at(field), { kind: 'reading', field, name, measure });
  const ph = unusual(read('ph_c', names.ph, 'ph'), usual.ph_c, words.hint.ph());
  const ec = unusual(read('ec_us_cm', names.ec, ecMeasure), usual.ec_us_cm, words.hint.ec);
  const isFc = form.at('light_unit') === 'light_fc';
  const light = isFc ? {} : unusual(read('light_umol', names.light, 'light'), usual.light_umol, words.hint.light);
  const fc = isFc ? unusual(read('light_fc', names.light, 'light_fc'), usual.light_fc, words.hint.light) : {};
  const lamp = limits.reading.light_by.oneof.find((each) => each === form.at('light_by'));
  const air = unusual(read('temp_dc', names.air, 'temperature'), usual.temp_dc, words.hint.heat);
  const medium = unusual(read('medium_dc', names.medium, 'temperature'), usual.medium_dc, words.hint.heat);
  const humidity = read('humid_bp', names.humidity, 'humidity');
  const more = wordsTyped(form.at('words'), 'reading', 'words', words.form.words);
  const method = limits.reading.method.oneof.find((each) => each === form.at('method'));
  const values = [ph, ec, light, fc, air, medium, humidity];
  const isEmpty = values.every(({ value, problem }) => value === undefined && problem === undefined);
  const notes = () => {
    const bed = place.bed || (place.lot ? onlyBed(place.lot) : '');
    const body: Reading = {
      ...(place.lot ? { lot: place.lot } : {}),
      ...(bed ? { bed } : {}),
      ...given('ph_c', ph),
      ...given('ec_us_cm', ec),
      ...(method && ec.value !== undefined ? { method } : {}),
      ...given('light_umol', light),
      ...given('light_fc', fc),
      ...(lamp && fc.value !== undefined ? { light_by: lamp } : {}),
      ...given('temp_dc', air),
      ...given('medium_dc', medium),
      ...given('humid_bp', humidity),
      ...given('words', more),
    };
    return { notes: [intent('reading', body, { id: form.id(0) })], said: names.saved };
  };
  const field = (name: string, label: string, answer: Answer<number>, measure: Measure) => (
    <TextField
      label={label}
      typed={form.at(name)}
      answer={answer}
      tried={form.tried}
      mode={measure === 'temperature' ? 'text' : 'decimal'}
      sign={wayOf(measure).sign}
      onType={(text) => form.set({ [name]: text })}
    />
  );
  return (
    <Frame
      title={words.forms.reading}
      place={place}
      form={form}
      problems={problemsOf([...values, more, isEmpty ? { problem: words.typed.none } : {}])}
      notes={notes}
    >
      {field('ph_c', names.ph, ph, 'ph')}
      {field('ec_us_cm', names.ec, ec, ecMeasure)}
      {form.at('ec_us_cm') !== '' && (
        <>
          <Choice
            legend={names.ecUnit}
            options={[
              { value: 'ec_ms', label: 'mS/cm' },
              { value: 'ec_us', label: 'µS/cm' },
            ]}
            value={ecMeasure}
            onChoose={(unit) => form.set({ ec_unit: unit })}
          />
          <Choice
            legend={names.method}
            options={limits.reading.method.oneof.map((each) => ({ value: each, label: names.methods[each] }))}
            value={method}
            columns={2}
            onChoose={(chosen) => form.set({ method: chosen })}
          />
        </>
      )}
      {field('medium_dc', names.medium, medium, 'temperature')}
      {field('temp_dc', names.air, air, 'temperature')}
      {field('humid_bp', names.humidity, humidity, 'humidity')}
      <Air air={air.value} humidity={humidity.value} />
      {isFc ? field('light_fc', names.light, fc, 'light_fc') : field('light_umol', names.light, light, 'light')}
      <Choice
        legend={names.lightUnit}
        options={[
          { value: 'light', label: 'µmol/m²s' },
          { value: 'light_fc', label: names.footCandles },
        ]}
        value={isFc ? 'light_fc' : 'light'}
        onChoose={(unit) => form.set({ light_unit: unit })}
      />
      {isFc && (
        <SelectField
          label={names.lamp}
          value={lamp ?? ''}
          none={words.form.notKnown}
          options={limits.reading.light_by.oneof.map((each) => ({ value: each, label: names.lamps[each] }))}
          onChoose={(by) => form.set({ light_by: by })}
        />
      )}
      <Light umol={light.value} fc={fc.value} lamp={lamp ?? ''} />
      <WordsField label={words.form.wordsMore} {...form.field('words', more)} />
    </Frame>
  );
}

/** What the air means for people and for plants, by its temperature (tenths of a degree C) and humidity (hundredths of a percent). */
function Air({ air, humidity }: { air: number | undefined; humidity: number | undefined }) {
  const words = workWords.value.work.reading;
  if (air === undefined) return null;
  if (humidity === undefined) return air >= HOT_DC ? <Hazards of={['heat']} /> : null;
  const index = heatIndex((air * 9) / 50 + 32, humidity / 100);
  const band = heatBand(index);
  const dew = humidity > 0 ? dewPoint(air / 10, humidity / 100) : -1;
  return (
    <>
      {(air >= HOT_DC || band !== 'lower') && (
        <>
          <p>{words.feels(temperature(((index - 32) * 50) / 9), words.bands[band])}</p>
          <Hazards of={['heat']} />
        </>
      )}
      <p class="small quiet">
        {words.deficit(number(vapourDeficit(air / 10, humidity / 100), 2))}{' '}
        {/* Below 0 °C it is frost, which forms a little earlier. */}
        {dew >= 0 && words.dew(temperature(dew * 10))}
      </p>
    </>
  );
}

/** What a light meter's number means for plants. */
function Light({ umol, fc, lamp }: { umol: number | undefined; fc: number | undefined; lamp: string }) {
  const words = workWords.value.work.reading;
  const flux = umol ?? (fc === undefined ? undefined : photonFlux(fc, lamp));
  if (flux === undefined) return fc !== undefined && lamp === 'led' ? <p class="small quiet">{words.noFlux}</p> : null;
  return (
    <p class="small quiet">
      {[...(umol === undefined ? [words.flux(number(flux))] : []), words.day(number(lightOf(flux, 12), 1))].join(' ')}
    </p>
  );
}

function unusual(read: Answer<number>, [low, high]: readonly [number, number], hint: string): Answer<number> {
  return read.value !== undefined && (read.value < low || read.value > high) ? { ...read, hint } : read;
}
