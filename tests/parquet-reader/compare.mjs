// node compare.mjs FOLDER: every cell of raw.parquet and quarter-hours.parquet is that of the CSV file beside it. Ends with 1 where one is not.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { gunzipSync } from 'node:zlib'
import { asyncBufferFromFile, parquetReadObjects } from 'hyparquet'

const folder = process.argv[2]
const compressors = { GZIP: (bytes) => new Uint8Array(gunzipSync(bytes)) }
let faults = 0

for (const name of ['raw', 'quarter-hours']) {
  const file = await asyncBufferFromFile(join(folder, `${name}.parquet`))
  const rows = await parquetReadObjects({ file, compressors })
  const [head, ...records] = recordsOf(readFileSync(join(folder, `${name}.csv`), 'utf8'))
  if (rows.length !== records.length) {
    fault(`${name}: ${rows.length} rows in Parquet, ${records.length} in CSV`)
  }

  rows.forEach((row, at) => head.forEach((column, i) => {
    const [packed, written] = [textOf(row[column]), records[at]?.[i].replace(/^'/, '')]
    // Dates of JavaScript end at the millisecond.
    if (packed !== (row[column] instanceof Date ? `${written.slice(0, 23)}Z` : written)) {
      fault(`${name}, row ${at + 1}, ${column}: '${packed}' in Parquet, '${written}' in CSV`)
    }
  }))
  console.log(`${name}: ${rows.length} rows, ${head.length} columns`)
}

process.exit(faults === 0 ? 0 : 1)

function fault(text) {
  faults += 1
  if (faults <= 20) {
    console.error(text)
  }
}

function textOf(value) {
  if (value === null || value === undefined) {
    return ''
  }

  return value instanceof Date ? value.toISOString() : typeof value === 'number' ? String(Number(value.toFixed(6))) : String(value)
}

// RFC 4180.
function recordsOf(text) {
  const records = []
  let [record, field, isQuoted] = [[], '', false]
  for (let i = 0; i < text.length; i += 1) {
    const c = text[i]
    if (isQuoted) {
      if (c !== '"') {
        field += c
      } else if (text[i + 1] === '"') {
        field += c
        i += 1
      } else {
        isQuoted = false
      }
    } else if (c === '"') {
      isQuoted = true
    } else if (c === ',') {
      record.push(field)
      field = ''
    } else if (c === '\r') {
      record.push(field)
      records.push(record)
      ;[record, field] = [[], '']
      i += 1
    } else {
      field += c
    }
  }

  return records
}
