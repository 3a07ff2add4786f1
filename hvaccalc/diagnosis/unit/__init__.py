"""The job's own unit as a model: calibrated, asked what if, forecast, compared with faults."""
