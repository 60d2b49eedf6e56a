/*
 * A node for one bed: soil temperature (DS18B20), air temperature and humidity (SHT3x), light (BH1750), sent by
 * MQTT as SenML. For ESP32 boards with the Arduino core.
 *
 * Libraries, by their names in the library manager: "MQTT" (Joël Gähwiler; it can publish at QoS 1, which many
 * small libraries cannot), "OneWire", "DallasTemperature", "Adafruit SHT31 Library", "BH1750" (Christopher Laws).
 *
 * What it takes care of:
 * - A reading is forgotten only when the hub has acknowledged it, which the hub does when it is on its disk.
 *   Until then it waits in memory, for some forty hours without a connection. A power cut loses what waits.
 * - Light is the mean of the minute, not one look: a passing cloud must not decide.
 * - Without a clock it says how long ago it measured; the hub knows what time it is.
 */
#include <Adafruit_SHT31.h>
#include <BH1750.h>
#include <DallasTemperature.h>
#include <MQTT.h>
#include <OneWire.h>
#include <WiFi.h>
#include <Wire.h>
#include <esp_timer.h>
#include <math.h>
#include <time.h>

// ---- yours to fill in ----
const char WIFI_NAME[] = "your network";
const char WIFI_PASSWORD[] = "its password";
const char HUB[] = "192.0.2.10";  // the hub's address in your network
const int HUB_PORT = 1883;
const char GARDEN[] = "home";
const char NODE[] = "first-node";  // small letters, digits and hyphens
// on the hub's machine: npx hearting node add first-node
const char USER[] = "home/first-node";
const char PASSWORD[] = "the password it printed";
const char TIME_SERVER[] = "pool.ntp.org";  // or your router

// ---- wiring ----
const int ONE_WIRE_PIN = 4;  // with 4.7 kΩ to 3.3 V
const int SDA_PIN = 21;
const int SCL_PIN = 22;

// ---- pace ----
const uint32_t LIGHT_SAMPLE_S = 2;
const uint32_t LIGHT_EVERY_S = 60;
const uint32_t TEMPERATURE_EVERY_S = 300;
const uint32_t RETRY_AFTER_S = 20;

enum Quantity : uint8_t { AIR_TEMP, SOIL_TEMP, HUMIDITY, LIGHT };
const char *const NAMES[] = {"air-temp", "soil-temp", "humidity", "light"};
const char *const UNITS[] = {"Cel", "Cel", "%RH", "lx"};

struct Reading {
  uint32_t uptimeS;  // when it was measured, seconds since start: right even before the clock is set
  float value;
  Quantity quantity;
};

// 96 readings an hour: about forty hours, in 48 KB
const size_t CAPACITY = 4000;
Reading waiting[CAPACITY];
size_t firstWaiting = 0;
size_t countWaiting = 0;

const size_t READINGS_A_PACK = 50;
char payload[READINGS_A_PACK * 72];
char readingsTopic[160];
char presenceTopic[160];

WiFiClient network;
MQTTClient mqtt(sizeof(payload) + 256);
OneWire oneWire(ONE_WIRE_PIN);
DallasTemperature soil(&oneWire);
Adafruit_SHT31 air;
BH1750 light;
bool hasAir = false;
bool hasLight = false;

double lightSum = 0;
uint32_t lightSamples = 0;
uint32_t nextLightSampleS = 0, nextLightS = 0, nextTemperatureS = 0, nextAttemptS = 0;

// Seconds since start; does not wrap.
uint32_t uptime() { return (uint32_t)(esp_timer_get_time() / 1000000); }

void keep(Quantity quantity, float value) {
  if (!isfinite(value)) return;
  if (countWaiting == CAPACITY) {
    // full after two days without a hub: the oldest goes
    firstWaiting = (firstWaiting + 1) % CAPACITY;
    countWaiting--;
  }
  waiting[(firstWaiting + countWaiting) % CAPACITY] = {uptime(), value, quantity};
  countWaiting++;
}

// Writes up to READINGS_A_PACK waiting readings into `payload`; returns how many.
size_t writePack() {
  const time_t now = time(nullptr);
  const uint32_t nowUptime = uptime();
  const bool knowsTime = now > 1700000000;
  size_t length = 0, count = 0;
  payload[length++] = '[';
  while (count < READINGS_A_PACK && count < countWaiting) {
    const Reading &r = waiting[(firstWaiting + count) % CAPACITY];
    const long ago = (long)(nowUptime - r.uptimeS);
    // A time below 2^28 counts from the moment the hub gets the pack; "now" is then 0, the past negative.
    const long long t = knowsTime ? (long long)now - ago : -ago;
    length += snprintf(payload + length, sizeof(payload) - length,
                       "%s{\"n\":\"%s\",\"u\":\"%s\",\"v\":%.2f,\"t\":%lld}", count ? "," : "",
                       NAMES[r.quantity], UNITS[r.quantity], r.value, t);
    count++;
  }
  payload[length++] = ']';
  payload[length] = 0;
  return count;
}

bool connected() {
  if (mqtt.connected()) return true;
  if (uptime() < nextAttemptS) return false;
  nextAttemptS = uptime() + RETRY_AFTER_S;
  if (WiFi.status() != WL_CONNECTED) {
    WiFi.begin(WIFI_NAME, WIFI_PASSWORD);
    return false;
  }
  if (!mqtt.connect(NODE, USER, PASSWORD)) return false;
  mqtt.publish(presenceTopic, "awake", true, 1);
  return true;
}

// Sends what waits. QoS 1: publish() returns true only after the acknowledgement.
void send() {
  while (countWaiting > 0 && connected()) {
    const size_t count = writePack();
    if (!mqtt.publish(readingsTopic, payload, false, 1)) {
      mqtt.disconnect();
      nextAttemptS = uptime() + RETRY_AFTER_S;
      return;  // all of it still waits
    }
    firstWaiting = (firstWaiting + count) % CAPACITY;
    countWaiting -= count;
  }
}

void measureLight() {
  if (!hasLight || uptime() < nextLightSampleS) return;
  nextLightSampleS = uptime() + LIGHT_SAMPLE_S;
  const float lux = light.readLightLevel();
  if (lux >= 0) {  // negative: the sensor did not answer
    lightSum += lux;
    lightSamples++;
  }
  if (uptime() < nextLightS) return;
  nextLightS = uptime() + LIGHT_EVERY_S;
  if (lightSamples > 0) keep(LIGHT, (float)(lightSum / lightSamples));
  lightSum = 0;
  lightSamples = 0;
}

void measureTemperatures() {
  if (uptime() < nextTemperatureS) return;
  nextTemperatureS = uptime() + TEMPERATURE_EVERY_S;
  soil.requestTemperatures();  // waits for the conversion (0.75 s), so 85.0 is never read by haste
  const float soilC = soil.getTempCByIndex(0);
  if (soilC != DEVICE_DISCONNECTED_C) keep(SOIL_TEMP, soilC);
  if (!hasAir) hasAir = air.begin(0x44);
  if (hasAir) {
    keep(AIR_TEMP, air.readTemperature());
    keep(HUMIDITY, air.readHumidity());
  }
}

void setup() {
  Serial.begin(115200);
  snprintf(readingsTopic, sizeof(readingsTopic), "gardens/%s/nodes/%s/readings", GARDEN, NODE);
  snprintf(presenceTopic, sizeof(presenceTopic), "gardens/%s/nodes/%s/presence", GARDEN, NODE);

  Wire.begin(SDA_PIN, SCL_PIN);
  soil.begin();
  hasAir = air.begin(0x44);
  hasLight = light.begin(BH1750::CONTINUOUS_HIGH_RES_MODE);
  // As it comes this sensor ends at 54,612 lx, half of full sun. With 31 it reaches 121,557 lx.
  if (hasLight) light.setMTreg(31);
  Serial.printf("soil probes: %d, air sensor: %s, light sensor: %s\n", soil.getDeviceCount(),
                hasAir ? "yes" : "no", hasLight ? "yes" : "no");

  WiFi.mode(WIFI_STA);
  WiFi.begin(WIFI_NAME, WIFI_PASSWORD);
  configTime(0, 0, TIME_SERVER);
  mqtt.begin(HUB, HUB_PORT, network);
  mqtt.setWill(presenceTopic, "gone", true, 1);
  // keep-alive 90 s; an acknowledgement may take 15 s, should the hub's disk be slow
  mqtt.setOptions(90, true, 15000);
  nextLightS = uptime() + LIGHT_EVERY_S;
}

void loop() {
  mqtt.loop();
  measureLight();
  measureTemperatures();
  send();
  delay(50);
}
