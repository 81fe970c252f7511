"""The table of rates of every purpose: `python -m tests.evidence.rates`.

Give another number of cases a purpose as the first argument; the default of 10,000 takes some ten
minutes, all but one of them for the readings along a run.
"""

from tests.evidence import breaker_rates, run_rates

if __name__ == "__main__":
    breaker_rates.main()
    run_rates.main()
