export { notUtf8, utf8Text } from '../measure/utf8-text.ts'
