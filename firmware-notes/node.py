# The same node in MicroPython, for boards that have it (ESP32, RP2040 with Wi-Fi …). Copy it to the board as
# main.py and install the library once:  import mip; mip.install("umqtt.simple")
#
# umqtt.simple's publish(qos=1) returns when the acknowledgement has come, which the hub sends when the readings
# are on its disk. Until then they wait in memory.
import json
import time

import ds18x20
import machine
import network
import ntptime
import onewire
from umqtt.simple import MQTTClient

WIFI = ("your network", "its password")
HUB = "192.0.2.10"
GARDEN, NODE = "home", "first-node"
PASSWORD = "what `npx hearting node add first-node` printed on the hub's machine"
TOPIC = "gardens/%s/nodes/%s/" % (GARDEN, NODE)
LIGHT_SAMPLE_S, LIGHT_EVERY_S, TEMPERATURE_EVERY_S, RETRY_AFTER_S = 2, 60, 300, 10
MOST_WAITING, READINGS_A_PACK = 2000, 50
# MicroPython counts seconds since 2000 on most boards, SenML since 1970
EPOCH_S = 946684800 if time.gmtime(0)[0] == 2000 else 0

i2c = machine.I2C(0, sda=machine.Pin(21), scl=machine.Pin(22))
probes = ds18x20.DS18X20(onewire.OneWire(machine.Pin(4)))
waiting = []  # (uptime s, quantity, unit, value), oldest first
client = None
knows_time = False


class Uptime:
    """Seconds since start; ticks_ms() alone wraps after days."""

    def __init__(self):
        self.total_ms, self.last = 0, time.ticks_ms()

    def __call__(self):
        now = time.ticks_ms()
        self.total_ms += time.ticks_diff(now, self.last)
        self.last = now
        return self.total_ms // 1000


uptime = Uptime()


def keep(quantity, unit, value):
    if len(waiting) >= MOST_WAITING:
        waiting.pop(0)
    waiting.append((uptime(), quantity, unit, round(value, 2)))


def start_light(mtreg=31):
    # BH1750: measurement time in two parts, then "continuous, high resolution". 31 reaches 121,557 lx.
    i2c.writeto(0x23, bytes([0x40 | mtreg >> 5]))
    i2c.writeto(0x23, bytes([0x60 | mtreg & 0x1F]))
    i2c.writeto(0x23, b"\x10")


def read_light(mtreg=31):
    high, low = i2c.readfrom(0x23, 2)
    return (high << 8 | low) / 1.2 * 69 / mtreg


def read_air():
    # SHT3x: single shot, high repeatability
    i2c.writeto(0x44, b"\x24\x00")
    time.sleep_ms(20)
    d = i2c.readfrom(0x44, 6)
    return -45 + 175 * (d[0] << 8 | d[1]) / 65535, 100 * (d[3] << 8 | d[4]) / 65535


def measure_temperatures():
    try:
        probes.convert_temp()
        time.sleep_ms(750)
        for rom in probes.scan()[:1]:
            keep("soil-temp", "Cel", probes.read_temp(rom))
    except Exception as e:  # no probe, bad contact: say so and go on with the others
        print("soil:", e)
    try:
        air_c, humidity = read_air()
        keep("air-temp", "Cel", air_c)
        keep("humidity", "%RH", humidity)
    except OSError as e:
        print("air:", e)


def connect():
    global client, knows_time
    wlan = network.WLAN(network.STA_IF)
    wlan.active(True)
    if not wlan.isconnected():
        wlan.connect(*WIFI)
        return
    if not knows_time:
        try:
            ntptime.settime()
            knows_time = True
        except OSError as e:
            print("no time from the network:", e)
    fresh = MQTTClient(NODE, HUB, user="%s/%s" % (GARDEN, NODE), password=PASSWORD, keepalive=400)
    fresh.set_last_will(TOPIC + "presence", "gone", retain=True, qos=1)
    fresh.connect()
    fresh.publish(TOPIC + "presence", "awake", retain=True, qos=1)
    client = fresh


def pack(readings):
    now, now_uptime = time.time() + EPOCH_S, uptime()
    return json.dumps(
        [
            {"n": n, "u": u, "v": v, "t": (now if knows_time else 0) - (now_uptime - at)}
            for at, n, u, v in readings
        ]
    )


def send():
    global client
    while waiting and client:
        part = waiting[:READINGS_A_PACK]
        try:
            client.sock.settimeout(20)  # a connection that died silently must not hold the node for ever
            client.publish(TOPIC + "readings", pack(part), qos=1)
        except (OSError, IndexError) as e:
            print("not sent, kept:", e)
            client = None
            return
        del waiting[: len(part)]


def run():
    light_sum, light_count = 0, 0
    next_light, next_temperature, next_attempt = LIGHT_EVERY_S, 0, 0
    try:
        start_light()
    except OSError as e:
        print("light:", e)
    while True:
        try:
            light_sum, light_count = light_sum + read_light(), light_count + 1
        except OSError:
            pass  # no light sensor: the hub shows that none reports
        if uptime() >= next_light:
            next_light = uptime() + LIGHT_EVERY_S
            if light_count:
                keep("light", "lx", light_sum / light_count)
            light_sum, light_count = 0, 0
        if uptime() >= next_temperature:
            next_temperature = uptime() + TEMPERATURE_EVERY_S
            measure_temperatures()
        if client is None and uptime() >= next_attempt:
            next_attempt = uptime() + RETRY_AFTER_S
            try:
                connect()
            except Exception as e:
                print("no hub:", e)
        send()
        time.sleep(LIGHT_SAMPLE_S)


run()
