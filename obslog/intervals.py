"""How far the ends of a 95 % interval lie from its middle, in standard deviations."""

NORMAL_95 = 1.959964
"""The quantile 0.975 of the standard normal distribution."""


def student_t_95(freedom: float) -> float:
    """The same where the standard deviation is itself found from the values, with so many degrees of freedom."""
    from scipy.special import stdtrit  # scipy.stats would take a second or two to import

    return float(stdtrit(freedom, 0.975))
