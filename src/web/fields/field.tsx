import { ChoiceField } from './choice-field.tsx'
import { FileField } from './file-field.tsx'
import { LengthField } from './length-field.tsx'
import { ListField } from './list-field.tsx'
import { PartsField } from './parts-field.tsx'
import type { FieldProps } from './spec.ts'
import { SwitchField } from './switch-field.tsx'
import { WordsField } from './words-field.tsx'

/** A labelled field of whatever kind its spec says. */

export function Field(props: FieldProps) {
  switch (props.spec.kind) {
    case 'length':
      return <LengthField {...props} />
    case 'corners':
      return <PartsField {...props} />
    case 'choice':
      return <ChoiceField {...props} />
    case 'switch':
      return <SwitchField {...props} />
    case 'list':
      return <ListField {...props} />
    case 'file':
      return <FileField {...props} />
    default:
      return <WordsField {...props} />
  }
}
