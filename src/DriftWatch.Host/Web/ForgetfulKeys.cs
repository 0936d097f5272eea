using System.Xml.Linq;
using Microsoft.AspNetCore.DataProtection.Repositories;

namespace DriftWatch.Host.Web;

/// <summary>
/// The framework makes itself a key at each start. No page keeps anything under it, so it stays in memory and nothing is written
/// into the home folder of the service's user.
/// </summary>
internal sealed class ForgetfulKeys : IXmlRepository
{
    private readonly List<XElement> _keys = [];

    public IReadOnlyCollection<XElement> GetAllElements()
    {
        lock (_keys)
        {
            return [.. _keys];
        }
    }

    public void StoreElement(XElement element, string friendlyName)
    {
        lock (_keys)
        {
            _keys.Add(element);
        }
    }
}
