"""Air states, airflow by every method, fan and staging, and the freezing that follows."""
