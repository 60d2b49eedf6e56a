// Prints the closing count of the test run from vitest's JSON report; fails where there is none, or no test ran.
import { readFileSync } from 'node:fs'

let report
try {
  report = JSON.parse(readFileSync('build/test-results.json', 'utf8'))
} catch (error) {
  console.error(`no test report: ${error.message}`)
  process.exit(1)
}
const skipped = report.numPendingTests + report.numTodoTests
console.log(`${report.numPassedTests} passed, ${report.numFailedTests} failed, ${skipped} skipped`)
process.exit(report.numPassedTests > 0 && report.numFailedTests === 0 && report.success ? 0 : 1)
