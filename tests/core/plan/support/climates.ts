/**
 * Usual temperatures of places in very different climates, °C, January first. Two are means of measured records (US
 * Government work, typed in); the rest are monthly normals of about 1991 to 2020 from memory, rounded to half a degree:
 * good for the season of a window, not for its week.
 */
import type { MonthlyNormals } from '../../../../hub/core/forecast/seasonal-cycle.js'

export interface NamedClimate extends MonthlyNormals {
  readonly latitudeDeg: number
}

/** Manhattan, Kansas: US Climate Reference Network, 2003 to 2017 */
export const KANSAS: NamedClimate = {
  latitudeDeg: 39.1,
  minC: [-7.2, -5.9, 1.3, 6.5, 11.8, 17.6, 19.9, 18.5, 13.8, 6.8, 0.4, -5.5],
  maxC: [5.1, 7.0, 14.8, 19.9, 24.4, 29.8, 32.2, 31.2, 27.5, 21.1, 13.9, 6.1],
}
/** Seattle airport: NOAA daily observations, 2012 to 2015 */
export const SEATTLE: NamedClimate = {
  latitudeDeg: 47.45,
  minC: [2.7, 4.1, 4.9, 6.4, 9.6, 12.2, 14.2, 14.8, 12.4, 9.4, 4.7, 3.3],
  maxC: [8.2, 9.9, 12.4, 15.0, 19.3, 22.4, 26.0, 26.1, 21.9, 16.4, 11.0, 8.2],
}
/** southern England, a Surrey garden */
export const SURREY: NamedClimate = {
  latitudeDeg: 51.3,
  minC: [2, 2, 3, 5, 8, 11, 13, 12.5, 10, 7.5, 4.5, 2.5],
  maxC: [8, 8.5, 11.5, 14.5, 18, 21, 23.5, 23, 19.5, 15.5, 11, 8.5],
}
/** Orlando, central Florida */
export const ORLANDO: NamedClimate = {
  latitudeDeg: 28.5,
  minC: [10, 11.5, 13.5, 16, 19.5, 22.5, 23.5, 23.5, 23, 19.5, 14.5, 11.5],
  maxC: [22, 23.5, 26, 28.5, 31.5, 33, 33.5, 33.5, 32, 29.5, 26, 23],
}
/** eastern North Carolina */
export const EASTERN_CAROLINA: NamedClimate = {
  latitudeDeg: 35.6,
  minC: [0, 1, 4.5, 9, 14, 18.5, 21, 20.5, 17, 10.5, 5, 1.5],
  maxC: [11, 13, 17.5, 22.5, 26.5, 30.5, 32.5, 31.5, 28, 22.5, 17.5, 12.5],
}
/** Leipzig, middle Germany */
export const LEIPZIG: NamedClimate = {
  latitudeDeg: 51.3,
  minC: [-1.5, -1, 1.5, 4.5, 8.5, 12, 14, 13.5, 10, 6, 2.5, -0.5],
  maxC: [4, 5.5, 9.5, 15, 19.5, 23, 25, 25, 20, 14, 8, 4.5],
}
/** Minneapolis, Minnesota */
export const MINNEAPOLIS: NamedClimate = {
  latitudeDeg: 44.9,
  minC: [-13.5, -11.5, -4.5, 2.5, 9.5, 15.5, 18, 16.5, 12, 5, -2.5, -9.5],
  maxC: [-4.5, -2, 5, 13.5, 21, 26.5, 28.5, 27, 22.5, 14.5, 5.5, -2],
}
/** Oakland, on San Francisco Bay */
export const OAKLAND: NamedClimate = {
  latitudeDeg: 37.8,
  minC: [7, 8, 9, 10, 11.5, 13, 13.5, 14, 14, 12.5, 10, 7.5],
  maxC: [14.5, 16, 17.5, 18.5, 20, 21.5, 22, 22.5, 23.5, 22, 18, 14.5],
}
/** Alice Springs, the dry middle of Australia */
export const ALICE_SPRINGS: NamedClimate = {
  latitudeDeg: -23.8,
  minC: [21.5, 21, 17.5, 13, 8, 5, 4, 6, 10.5, 15, 18, 20.5],
  maxC: [36.5, 35, 33, 28.5, 23, 20, 20, 23, 27.5, 31, 34, 35.5],
}
/** Hobart, Tasmania */
export const HOBART: NamedClimate = {
  latitudeDeg: -42.9,
  minC: [12.5, 12.5, 11.5, 9.5, 7.5, 5.5, 5, 5.5, 6.5, 8, 9.5, 11],
  maxC: [22.5, 22, 20.5, 18, 15, 12.5, 12, 13.5, 15.5, 17.5, 19, 20.5],
}
