/** The thread in which a garden's sun is learned: months of minutes take longer than a page should wait for the next. */
import { serveObject } from '../worker/served.js'
import { createSunLearner } from './sun-learner.js'

serveObject(createSunLearner())
