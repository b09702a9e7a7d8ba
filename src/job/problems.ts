export { formatProblem } from '../measure/problem.ts'
