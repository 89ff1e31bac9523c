"""Reference values for crates/vision, by OpenCV, SciPy, scikit-image and NumPy.

Run it by hand when a check is added; the files it writes are committed, so that the tests stay short and need no
network:

    python -m venv target/reference-vision
    target/reference-vision/bin/pip install numpy==2.4.6 scipy==1.17.1 scikit-image==0.26.0 opencv-python-headless==5.0.0.93
    target/reference-vision/bin/python tests/reference/vision/make.py

Pictures are small crops of those that scikit-image's wheel brings, only of ones that its documentation states to be
CC0: `brick`, `grass` and `gravel` (CC0Textures / DeviantArt, CC0), `camera` (CC0, Lav Varshney), `coffee` (CC0, Rachel
Michetti).
"""

import csv
import platform
from pathlib import Path

import cv2
import numpy as np
import scipy
import skimage
from scipy import ndimage, signal
from skimage import color, data, feature

HERE = Path(__file__).parent
SIDE = 160
HEADER = (
    f"# Made by make.py with OpenCV {cv2.__version__}, SciPy {scipy.__version__}, scikit-image {skimage.__version__}, "
    f"NumPy {np.__version__}, Python {platform.python_version()}"
)


def grey(name):
    picture = getattr(data, name)()
    if picture.ndim == 3:
        picture = np.rint(color.rgb2gray(picture) * 255)
    return picture.astype(np.float64)


def warped(picture, matrix, shift, around):
    """The picture after every point p has moved to matrix·(p − around) + around + shift, p being (x, y)."""
    inverse = np.linalg.inv(matrix)
    # ndimage counts (row, column) and wants the way back.
    swap = np.array([[0, 1], [1, 0]])
    back = swap @ inverse @ swap
    centre = np.array(around)[::-1]
    offset = centre - back @ (centre + np.array(shift)[::-1])
    return ndimage.affine_transform(picture, back, offset=offset, order=5, mode="mirror")


def turn(degrees, scale):
    angle = np.deg2rad(degrees)
    return scale * np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])


def eight_bits(picture):
    return np.clip(np.rint(picture), 0, 255).astype(np.uint8)


def write_pgm(name, picture):
    height, width = picture.shape
    (HERE / name).write_bytes(f"P5\n{width} {height}\n255\n".encode() + picture.tobytes())


def write_ppm(name, picture):
    height, width, _ = picture.shape
    (HERE / name).write_bytes(f"P6\n{width} {height}\n255\n".encode() + picture.tobytes())


def write_csv(name, columns, rows):
    with open(HERE / name, "w", newline="") as file:
        file.write(HEADER + "\n")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows(rows)


# How each picture moves: matrix, shift in pixels. Turning and growing stay small: a window is followed as a whole.
MOTIONS = {
    "brick": (np.eye(2), (3.37, -2.61)),
    "grass": (np.eye(2), (-6.25, 4.5)),
    "gravel": (turn(0.8, 1.004), (1.7, 2.3)),
    "camera": (turn(-0.5, 0.997), (-2.2, 0.45)),
}
# Where in each picture the crop begins (x, y): where there is something to see.
CROPS = {"brick": (40, 60), "grass": (200, 100), "gravel": (120, 240), "camera": (180, 60)}


def tracking():
    rows, correlations = [], []
    for name, (matrix, shift) in MOTIONS.items():
        whole = grey(name)
        # A little blur, as every lens has: these textures were drawn sharper than a camera sees.
        whole = ndimage.gaussian_filter(whole, 0.8)
        x, y = CROPS[name]
        middle = (x + SIDE / 2, y + SIDE / 2)
        before = eight_bits(whole)[y : y + SIDE, x : x + SIDE]
        present = eight_bits(warped(whole, matrix, shift, middle))[y : y + SIDE, x : x + SIDE]
        write_pgm(f"{name}_before.pgm", before)
        write_pgm(f"{name}_present.pgm", present)

        random = np.random.default_rng(len(name))
        # Places with something to follow, as a coach would tap, but between the pixels.
        inner = np.zeros_like(before)
        inner[30 : SIDE - 30, 30 : SIDE - 30] = 255
        corners = cv2.goodFeaturesToTrack(np.ascontiguousarray(before), 25, 0.02, 5, mask=inner).reshape(-1, 2)
        points = (corners + random.uniform(-1, 1, corners.shape)).astype(np.float32)
        criteria = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 30, 0.01)
        found, status, _ = cv2.calcOpticalFlowPyrLK(
            np.ascontiguousarray(before), np.ascontiguousarray(present), points, None,
            winSize=(21, 21), maxLevel=2, criteria=criteria,
        )
        assert status.all(), name
        centre = np.array([SIDE / 2, SIDE / 2])
        truth = (points - centre) @ matrix.T + centre + np.array(shift)
        for point, true, end in zip(points, truth, found.reshape(-1, 2)):
            rows.append([name, *(f"{value:.6f}" for value in (*point, *true, *end))])

        for px, py in ((80, 80), (60, 95)):
            template = before[py - 15 : py + 16, px - 15 : px + 16]
            reach = 30
            area = present[py - 15 - reach : py + 16 + reach, px - 15 - reach : px + 16 + reach]
            by_opencv = cv2.matchTemplate(area, template, cv2.TM_CCOEFF_NORMED)
            by_skimage = feature.match_template(area, template)
            assert np.abs(by_opencv - by_skimage).max() < 1e-3
            row, column = np.unravel_index(by_skimage.argmax(), by_skimage.shape)
            rest = by_skimage.copy()
            rest[max(0, row - 8) : row + 9, max(0, column - 8) : column + 9] = -2
            correlations.append(
                [name, px, py, px - reach + column, py - reach + row,
                 f"{by_opencv.max():.6f}", f"{by_skimage.max():.8f}", f"{rest.max():.8f}"]
            )
    write_csv("tracking.csv", ["picture", "x", "y", "true_x", "true_y", "opencv_x", "opencv_y"], rows)
    write_csv(
        "correlation.csv",
        ["picture", "x", "y", "peak_x", "peak_y", "opencv_correlation", "skimage_correlation", "skimage_second"],
        correlations,
    )


def equalisation():
    # One size of whole tiles, one that is not.
    for name, (width, height), limit in (("camera", (160, 160), 2.0), ("gravel", (150, 130), 4.0)):
        x, y = CROPS[name]
        picture = eight_bits(ndimage.gaussian_filter(grey(name), 0.8))[y : y + height, x : x + width]
        equalised = cv2.createCLAHE(clipLimit=limit, tileGridSize=(8, 8)).apply(np.ascontiguousarray(picture))
        write_pgm(f"{name}_equalised.pgm", equalised)


def colour():
    picture = data.coffee()[100:164, 250:314].astype(np.float64) / 255
    # As if under water: red taken, a green and blue veil.
    picture = np.clip(picture * [0.35, 0.8, 0.9] + [0.02, 0.08, 0.1], 0, 1)
    source = eight_bits(picture * 255)
    write_ppm("coffee_under_water.ppm", source)

    levels = source.astype(np.float64) / 255
    red, green = levels[..., 0], levels[..., 1]
    made_up = levels.copy()
    made_up[..., 0] = red + (green.mean() - red.mean()) * (1 - red) * green
    write_ppm("coffee_red.ppm", eight_bits(np.clip(made_up, 0, 1) * 255))

    means = levels.reshape(-1, 3).mean(axis=0)
    write_ppm("coffee_grey_world.ppm", eight_bits(np.clip(levels * (means.mean() / means), 0, 1) * 255))


def rhythm():
    rows, periods = [], []
    for case, (rate, seconds, period, second, noise) in enumerate(
        [(30, 12, 1.21, 0.3, 0.3), (59.94, 10, 0.83, 0.0, 0.5), (120, 8, 1.57, 0.5, 0.2), (25, 20, 2.4, 0.2, 0.4)]
    ):
        random = np.random.default_rng(case)
        # Spacings that swing by a third, as phones' do.
        spacings = random.uniform(2 / 3, 4 / 3, int(rate * seconds)) / rate
        ticks = np.rint(np.cumsum(spacings) * 90_000).astype(int)
        times = ticks / 90_000
        phase = 2 * np.pi * times / period
        values = 5 + np.sin(phase) + second * np.sin(2 * phase + 1) + noise * random.standard_normal(times.size) + 0.05 * times
        rows += [[case, tick, f"{value:.6f}"] for tick, value in zip(ticks, values)]
        centred = signal.detrend(values)
        frequencies = np.linspace(1 / 4, 1 / 0.35, 20_001)
        power = signal.lombscargle(times, centred - centred.mean(), 2 * np.pi * frequencies)
        periods.append([case, f"{period:.4f}", f"{1 / frequencies[power.argmax()]:.6f}"])
    write_csv("rhythm_readings.csv", ["case", "ticks_of_90000", "value"], rows)
    write_csv("rhythm_periods.csv", ["case", "true_period_s", "lombscargle_period_s"], periods)


if __name__ == "__main__":
    tracking()
    equalisation()
    colour()
    rhythm()
