"""Pictures of yes and no, with numpy alone."""
import numpy as np


def shifted(mask, rows, columns):
    """Moved down and to the right; what comes in from outside is False."""
    out = np.zeros_like(mask)
    height, width = mask.shape
    if abs(rows) < height and abs(columns) < width:
        out[max(0, rows):height + min(0, rows), max(0, columns):width + min(0, columns)] = \
            mask[max(0, -rows):height + min(0, -rows), max(0, -columns):width + min(0, -columns)]
    return out


def disc_dilated(mask, reach):
    """All points at most `reach` points away from one that is True."""
    out = mask.copy()
    whole = int(reach)
    for rows in range(-whole, whole + 1):
        # A row of the disc is grown by doubling.
        half = int((reach * reach - rows * rows) ** 0.5)
        out |= row_dilated(shifted(mask, rows, 0), half)
    return out


def row_dilated(mask, half):
    """All points with a True one at most `half` to the left or right."""
    sums = np.cumsum(np.pad(mask, ((0, 0), (half + 1, half))), axis=1, dtype=np.int32)
    return sums[:, 2 * half + 1:] > sums[:, :sums.shape[1] - 2 * half - 1]


def square_dilated(mask, half):
    return row_dilated(row_dilated(mask, half).T, half).T


def square_eroded(mask, half):
    return ~square_dilated(~mask, half)


def pieces(mask):
    """How many pieces the True points make, neighbours sharing a side. By runs of rows and union of sets."""
    parent = []

    def root(i):
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    before = []
    for row in mask:
        edges = np.flatnonzero(np.diff(np.concatenate(([0], row.view(np.int8), [0]))))
        here = []
        k = 0
        for start, end in zip(edges[::2].tolist(), edges[1::2].tolist()):
            number = len(parent)
            parent.append(number)
            while k < len(before) and before[k][1] <= start:
                k += 1
            j = k
            while j < len(before) and before[j][0] < end:
                parent[root(before[j][2])] = root(number)
                j += 1
            here.append((start, end, number))
        before = here
    return sum(1 for i, up in enumerate(parent) if i == up)
