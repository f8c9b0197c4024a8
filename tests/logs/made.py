"""Invented runs with a known truth, and the files that receivers would write of them."""

from dataclasses import dataclass

import numpy as np
from geographiclib.geodesic import Geodesic

from garage.calc.track.track import Track

LAT, LON = 52.3, 5.5
START = 1_777_800_000.0  # 3 May 2026, 09:20 UTC


def places(east: np.ndarray, north: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Points at metres east and north of a pond, by the ellipsoid's radii there as geographiclib has them."""
    geodesic = Geodesic.WGS84
    m_north = geodesic.Inverse(LAT - 0.005, LON, LAT + 0.005, LON)["s12"] / 0.01
    m_east = geodesic.Inverse(LAT, LON - 0.005, LAT, LON + 0.005)["s12"] / 0.01
    return LAT + north / m_north, LON + east / m_east


@dataclass
class Made:
    """A run's truth: where she is and how fast over ground."""

    time_s: np.ndarray
    east: np.ndarray
    north: np.ndarray
    speed: np.ndarray

    def track(self, *, doppler: bool = True, place_sd: float = 0.0, speed_sd: float = 0.0, seed: int = 1) -> Track:
        """The run as a receiver with that much noise sees it."""
        noise = np.random.default_rng(seed)
        count = len(self.time_s)
        lat, lon = places(self.east + noise.normal(0, place_sd, count), self.north + noise.normal(0, place_sd, count))
        speed = self.speed + noise.normal(0, speed_sd, count) if doppler else None
        return Track(self.time_s, START, lat, lon, speed)


def circle(speed: float, radius: float, rate: float, seconds: float = 40) -> Made:
    """Round and round at one speed, clockwise."""
    time = np.arange(0, seconds, 1 / rate)
    angle = speed * time / radius
    return Made(time, radius * np.sin(angle), radius * np.cos(angle), np.full(len(time), speed))


def there_and_back(
    speed: float, rate: float, *, straight: float = 220, radius: float = 15, current: float = 0, rounds: float = 2
) -> Made:
    """Up a straight, round, down the other, round, at one speed through the water; the current sets north."""
    lap = 2 * straight + 2 * np.pi * radius
    way = np.arange(0, rounds * lap, speed / rate)
    time = np.arange(len(way)) / rate
    at = way % lap
    bend = np.pi * radius
    up = at < straight
    top = (at >= straight) & (at < straight + bend)
    down = (at >= straight + bend) & (at < 2 * straight + bend)
    first, last = (at - straight) / radius, (at - 2 * straight - bend) / radius
    heading = np.select([up, top, down], [0 * at, first, 0 * at + np.pi], np.pi + last)
    east = np.select(
        [up, top, down], [0 * at, radius - radius * np.cos(first), 0 * at + 2 * radius], radius + radius * np.cos(last)
    )
    north = np.select(
        [up, top, down],
        [at, straight + radius * np.sin(first), straight - (at - straight - bend)],
        -radius * np.sin(last),
    )
    over_ground = np.hypot(speed * np.sin(heading), speed * np.cos(heading) + current)
    return Made(time, east, north + current * time, over_ground)


def turn(speed: float, radius: float, rate: float, angle: float, *, straight: float = 80, phase: float = 0) -> Made:
    """A straight, one turn to the right by `angle` radians, a straight; the first sample `phase` of a step late."""
    bend = radius * angle
    way = np.arange(phase * speed / rate, 2 * straight + bend, speed / rate)
    at = np.clip((way - straight) / radius, 0, angle)
    after = np.maximum(way - straight - bend, 0)
    east = radius - radius * np.cos(at) + after * np.sin(angle)
    north = np.minimum(way, straight) + radius * np.sin(at) + after * np.cos(angle)
    return Made(np.arange(len(way)) / rate, east, north, np.full(len(way), speed))


def straight_run(speed: np.ndarray, rate: float) -> Made:
    """Due north at the speeds given."""
    way = np.concatenate(([0.0], np.cumsum((speed[1:] + speed[:-1]) / 2 / rate)))
    return Made(np.arange(len(speed)) / rate, 0 * way, way, speed)


def gpx(track: Track, *, version: str = "1.1", speed: str = "bare") -> str:
    """`track` as GPX; `speed` is "bare", "extension" or "none"."""
    rows = []
    for index in range(len(track)):
        moment = np.datetime64(round((START + track.time_s[index]) * 1000), "ms")
        said = ""
        if speed != "none" and track.speed_ms is not None:
            said = f"<speed>{track.speed_ms[index]:.3f}</speed>"
            if speed == "extension":
                inner = f"<x:speed>{track.speed_ms[index]:.3f}</x:speed>"
                said = f'<extensions><x:Point xmlns:x="urn:x">{inner}</x:Point></extensions>'
        rows.append(
            f'<trkpt lat="{track.lat_deg[index]:.9f}" lon="{track.lon_deg[index]:.9f}"><ele>1.5</ele>'
            f"<time>{moment}Z</time>{said}</trkpt>"
        )
    space = f"http://www.topografix.com/GPX/{version.replace('.', '/')}"
    head = f'<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="{version}" creator="made" xmlns="{space}">'
    return head + "<trk><trkseg>\n" + "\n".join(rows) + "\n</trkseg></trk></gpx>\n"


def sentence(body: str) -> str:
    """An NMEA sentence with its checksum."""
    total = 0
    for sign in body:
        total ^= ord(sign)
    return f"${body}*{total:02X}"


def _angle(value: float, width: int, sides: str) -> str:
    whole = int(abs(value))
    return f"{whole:0{width}d}{(abs(value) - whole) * 60:010.7f},{sides[0] if value >= 0 else sides[1]}"


def nmea(track: Track, talkers: tuple[str, ...] = ("GP", "GN")) -> str:
    """`track` as RMC, VTG and GGA sentences, talkers in turn."""
    lines = []
    for index in range(len(track)):
        moment = np.datetime64(round((START + track.time_s[index]) * 1000), "ms").astype(object)
        clock = moment.strftime("%H%M%S.") + f"{moment.microsecond // 10000:02d}"
        place = f"{_angle(track.lat_deg[index], 2, 'NS')},{_angle(track.lon_deg[index], 3, 'EW')}"
        knots = (track.speed_ms[index] if track.speed_ms is not None else 0) * 3600 / 1852
        who = talkers[index % len(talkers)]
        lines += [
            sentence(f"{who}RMC,{clock},A,{place},{knots:.4f},10.0,{moment.strftime('%d%m%y')},,,A"),
            sentence(f"{who}VTG,10.0,T,,M,{knots:.4f},N,{knots * 1.852:.4f},K,A"),
            sentence(f"{who}GGA,{clock},{place},1,09,0.9,1.0,M,46.9,M,,"),
        ]
    return "\r\n".join(lines) + "\r\n"
