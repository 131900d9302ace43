"""Plots of airflow."""
