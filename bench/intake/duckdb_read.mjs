// Reads one recorder file with DuckDB's CSV reader into typed columns and
// prints one JSON line: seconds for each repetition, rows, sums of the columns.
//
//   node duckdb_read.mjs FILE DELIMITER DECIMAL_MARK CHANNELS THREADS REPETITIONS
import { DuckDBInstance } from '@duckdb/node-api';

const [file, delimiter, mark, channels, threads, repetitions] = process.argv.slice(2);
const instance = await DuckDBInstance.create(':memory:', { threads });
const connection = await instance.connect();
const names = Array.from({ length: Number(channels) }, (_, i) => `c${i + 1}`);
const columns = ["'t': 'TIMESTAMP'", ...names.map((name) => `'${name}': 'DOUBLE'`)].join(', ');
const reader =
  `read_csv('${file}', delim='${delimiter}', decimal_separator='${mark}', header=true, ` +
  `auto_detect=false, nullstr='---', timestampformat='%d.%m.%Y %H:%M:%S', columns={${columns}})`;

async function timed(work) {
  const begin = process.hrtime.bigint();
  await work();
  return Number(process.hrtime.bigint() - begin) / 1e9;
}

// Two ways to use its reader: keep the columns in a table in memory (what our
// reader does), or only sum them as they stream by (less work than ours).
const kept = [];
const summed = [];
let sums;
for (let i = 0; i < Number(repetitions); ++i) {
  kept.push(await timed(() => connection.run(`CREATE OR REPLACE TABLE series AS SELECT * FROM ${reader}`)));
  const list = names.map((name) => `sum(${name})`).join(', ');
  summed.push(
    await timed(async () => {
      const result = await connection.runAndReadAll(`SELECT count(*), max(epoch_ms(t)), ${list} FROM ${reader}`);
      sums = result.getRows()[0].map(Number);
    }),
  );
}
const version = (await connection.runAndReadAll('SELECT version()')).getRows()[0][0];
console.log(JSON.stringify({ kept, summed, rows: sums[0], last_ms: sums[1], sums: sums.slice(2), version }));
