"""One file per noun of the trade. Fields, constraints, simple derived values; the rules live in the route."""

from projects.models.appointment import Appointment
from projects.models.authority import Jurisdiction, JurisdictionClosure, Utility
from projects.models.calendar_feed import CalendarFeed
from projects.models.change_order import ChangeOrder
from projects.models.cost import JobCost
from projects.models.crew import Crew, CrewDayOff
from projects.models.customer import Customer
from projects.models.customer_ask import CustomerAsk, CustomerUpload
from projects.models.customer_link import CustomerLink
from projects.models.design import Design, StudyRun
from projects.models.device_entry import DeviceEntry
from projects.models.economics import JobIncentive, MoneyRules
from projects.models.equipment import BatteryModel, GeneratorModel, InverterModel, ModuleModel
from projects.models.evidence import Evidence
from projects.models.financing import FinancingApplication, LenderCondition
from projects.models.inspection import Inspection, InspectionCorrection
from projects.models.insurance import Insurance
from projects.models.interconnection import Interconnection, UtilityRequest
from projects.models.invoice import CreditNote, Invoice
from projects.models.job import Job, ListedAs, Stage, SystemKind
from projects.models.journal import JournalEntry
from projects.models.lead import DoItYourself, Goal, LeadAnswers, LoadLine
from projects.models.lead_import import ImportedLead, LeadImport
from projects.models.licence import Licence
from projects.models.likely import LikelyDates
from projects.models.mark import JobMark, PaperIssue, Waiver
from projects.models.message import Message
from projects.models.office import OfficeProfile
from projects.models.pause import Pause
from projects.models.payment import DefaultMilestone, MilestoneFact, Payment, PaymentMilestone, PaymentTerms
from projects.models.people import Person, Role
from projects.models.permit import Permit, PermitSubmission, PlanComment
from projects.models.search import DesignSearch
from projects.models.search_term import SearchTerm
from projects.models.service import MeterReading, ServiceVisit, WarrantyClaim
from projects.models.site import Obstruction, RoofPlane, Site
from projects.models.snooze import Snooze
from projects.models.warranty import Warranty
from projects.models.weather import SiteWeather, WeatherFile

__all__ = [
    "Appointment",
    "BatteryModel",
    "CalendarFeed",
    "ChangeOrder",
    "CreditNote",
    "Crew",
    "CrewDayOff",
    "Customer",
    "CustomerAsk",
    "CustomerLink",
    "CustomerUpload",
    "DefaultMilestone",
    "Design",
    "DesignSearch",
    "DeviceEntry",
    "DoItYourself",
    "Evidence",
    "FinancingApplication",
    "GeneratorModel",
    "Goal",
    "ImportedLead",
    "Inspection",
    "InspectionCorrection",
    "Insurance",
    "Interconnection",
    "InverterModel",
    "Invoice",
    "Job",
    "JobCost",
    "JobIncentive",
    "JobMark",
    "JournalEntry",
    "Jurisdiction",
    "JurisdictionClosure",
    "LeadAnswers",
    "LeadImport",
    "LenderCondition",
    "Licence",
    "LikelyDates",
    "ListedAs",
    "LoadLine",
    "Message",
    "MeterReading",
    "MilestoneFact",
    "ModuleModel",
    "MoneyRules",
    "Obstruction",
    "OfficeProfile",
    "PaperIssue",
    "Pause",
    "Payment",
    "PaymentMilestone",
    "PaymentTerms",
    "Permit",
    "PermitSubmission",
    "Person",
    "PlanComment",
    "Role",
    "RoofPlane",
    "SearchTerm",
    "ServiceVisit",
    "Site",
    "SiteWeather",
    "Snooze",
    "Stage",
    "StudyRun",
    "SystemKind",
    "Utility",
    "UtilityRequest",
    "Waiver",
    "Warranty",
    "WarrantyClaim",
    "WeatherFile",
]
