import fc from 'fast-check'

/** One commit, one result: properties draw from a fixed seed, and `npm run soak` goes through many others. */
fc.configureGlobal({ seed: Number(process.env.SEED ?? 1) })
